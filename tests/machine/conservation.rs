//! Fuel in every circuit: out of the bowl = delivered + stored (exact).

use bellmouth::hardware::bleed_well::{BleedWell, SideHole};
use bellmouth::hardware::nozzle::NozzleKind;
use bellmouth::metering::main_circuit::{CircuitStep, MainMetering};
use bellmouth::metering::pilot_circuit::PilotMetering;
use bellmouth::metering::surroundings::{Outside, Surroundings};

use crate::{found, single};

const P: f64 = 101_325.0;
const DT: f64 = 2e-5;

/// A well of 0.6 cm3 with three pairs of holes from just below the level of the fuel.
pub fn well() -> BleedWell {
    let hole = |below| SideHole { bore: 0.8e-3, below };
    BleedWell { outer: 9e-3, inner: 7e-3, holes: [14e-3, 14e-3, 20e-3, 20e-3, 26e-3, 26e-3].map(hole).to_vec() }
}

/// What is outside when all openings into the bore have `p` [Pa].
fn around(p: f64) -> Surroundings {
    let free = Outside { p: P, rho: 1.225 };
    let at = Outside { p, rho: 1.225 };
    Surroundings { bowl: free, air_jets: free, nozzle: at, outlet: at, bypass: vec![at, at] }
}

/// A suction that swings through the free air's pressure, so that the columns stop, run back and refill.
fn swinging(k: u32) -> f64 {
    P - 1500.0 - 4000.0 * libm::sin(2.0 * std::f64::consts::PI * f64::from(k) / 1500.0)
}

/// Largest difference between what was drawn and what was given or stored, over all that moved.
fn defect(mut step: impl FnMut(u32) -> (CircuitStep, f64), before: f64) -> f64 {
    let (mut drawn, mut moved, mut given, mut worst) = (0.0, 0.0, 0.0, 0.0_f64);
    for k in 0..60_000 {
        let (s, stored) = step(k);
        drawn += s.drawn;
        moved += s.drawn.abs();
        given += s.fuel + s.fuel_bypass;
        worst = worst.max((drawn - given - (stored - before)).abs());
    }
    assert!(given > 0.0 && moved > 1.01 * drawn, "the column never ran back");
    worst / moved
}

#[test]
fn fuel_out_of_the_bowl_is_delivered_or_stored_in_every_circuit() {
    let m = single();
    let level = m.carburettor.bowl.level_below_bore;
    let main = |change: fn(&mut bellmouth::hardware::carburettor::MainCircuit)| {
        let mut parts = m.carburettor.main.clone();
        change(&mut parts);
        let mut circuit = MainMetering::new(&parts, level, &m.fuel, P, 0.5 * m.carburettor.slide.bore);
        let before = circuit.fuel();
        defect(|k| (circuit.step(DT, &around(swinging(k))), circuit.fuel()), before)
    };
    let mut pilot = PilotMetering::new(&m.carburettor.pilot, level, &m.fuel, P);
    let stored = |c: &PilotMetering| c.chamber.liquid - c.column.missing();
    let before = stored(&pilot);
    let pilot_defect = defect(|k| (pilot.step(DT, &around(swinging(k))), stored(&pilot)), before);
    for (name, defect) in [
        ("primary nozzle", main(|_| ())),
        ("bleed nozzle", main(|p| p.nozzle.kind = NozzleKind::Bleed)),
        ("bleed nozzle with a well", main(|p| (p.nozzle.kind, p.well) = (NozzleKind::Bleed, Some(well())))),
        ("air plugged", main(|p| p.air_jet = None)),
        ("pilot", pilot_defect),
    ] {
        found(
            "bowl out = delivered + stored (exact), largest defect over all that moved",
            &format!("{name}: {defect:.1e}"),
        );
        assert!(defect < 1e-10, "{name}: {defect:e}");
    }
}

// A plain jet passes fuel as the root of the signal: its share of that root is the same at every signal. A bleed nozzle whose holes lie
// below the level of the fuel takes no air until the well is drawn down: richer at weak signals, leaner at strong ones. Common
// practice, no source.
#[test]
fn a_well_delays_the_bleed_and_so_makes_strong_signals_leaner_than_weak_ones() {
    let m = single();
    let level = m.carburettor.bowl.level_below_bore;
    let share = |with_well: bool, signal: f64| {
        let mut parts = m.carburettor.main.clone();
        parts.nozzle.kind = NozzleKind::Bleed;
        parts.well = with_well.then(well);
        let mut c = MainMetering::new(&parts, level, &m.fuel, P, 0.4 * m.carburettor.slide.bore);
        let mut bare = parts.clone();
        bare.air_jet = None;
        let mut b = MainMetering::new(&bare, level, &m.fuel, P, 0.4 * m.carburettor.slide.bore);
        let (mut fuel, mut plain) = (0.0, 0.0);
        for k in 0..300_000 {
            let at = around(P - signal);
            let (s, t) = (c.step(DT, &at), b.step(DT, &at));
            if k >= 250_000 {
                fuel += s.fuel;
                plain += t.fuel;
            }
        }
        fuel / plain
    };
    let signals = [200.0, 400.0, 1000.0, 3000.0];
    let [well, straight] = [true, false].map(|w| signals.map(|s| share(w, s)));
    found(
        "fuel of a bleed nozzle over that without air, at 0.2, 0.4, 1 and 3 kPa",
        &format!("with a well {well:.3?}, air straight from its jet {straight:.3?}"),
    );
    assert!(well.windows(2).all(|s| s[1] <= s[0] + 1e-3), "{well:?}");
    assert!(well[0] > straight[0] + 0.05 && well[0] > well[3] + 0.05, "{well:?} {straight:?}");
}
