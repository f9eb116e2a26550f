//! The starter circuit: shut, alone and steady, and what it costs a machine that does not use it.

use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::{carburettor::Passage, starter::Starter};
use bellmouth::laws::jet::JetLaw;
use bellmouth::media::atmosphere::G0;
use bellmouth::metering::starter_circuit::StarterMetering;
use bellmouth::metering::surroundings::{Outside, Surroundings};
use bellmouth::study::point;

use crate::{close, coarse, found, single};

/// The estimates of the set-up around a starter jet of 0.70 mm.
pub fn starter(open: f64) -> Starter {
    Starter {
        jet: Jet { bore: 0.7e-3, length: 2.1e-3 },
        air: Jet { bore: 5e-3, length: 20e-3 },
        outlet: Jet { bore: 3e-3, length: 6e-3 },
        open,
        well: Passage { length: 40e-3, bore: 2e-3 },
        rise: 5e-3,
        chamber: 0.3e-6,
    }
}

/// The known single with a starter opened to `open`.
pub fn with_starter(open: f64) -> Machine {
    let mut m = single();
    m.carburettor.starter = Some(starter(open));
    m
}

#[test]
fn plunger_uncovers_the_circular_segment() {
    // Geometry of a straight edge across a circle, computed: share of the area at a share of the diameter.
    for (open, want) in
        [(0.0, 0.0), (0.05, 0.01869), (0.125, 0.07215), (0.25, 0.19550), (0.5, 0.5), (0.75, 0.8045), (1.0, 1.0)]
    {
        let got = starter(open).uncovered();
        assert!((got - want).abs() < 6e-6, "{open}: {got} {want}");
    }
}

#[test]
fn a_shut_starter_leaves_every_bit_as_without_one() {
    let mut results = [None, Some(starter(0.0))].map(|part| {
        let mut m = single();
        m.carburettor.starter = part;
        point::solve(&m, 0.1, 2000.0, None, &coarse()).0
    });
    assert_eq!(results[0].fuel_starter_g_s, Some(0.0));
    let text = results.each_mut().map(|r| serde_json::to_string(r).unwrap());
    assert_eq!(text[0], text[1]);
    let open = point::solve(&with_starter(0.5), 0.1, 2000.0, None, &coarse()).0;
    assert_ne!(serde_json::to_string(&open).unwrap(), text[0]);
}

#[test]
fn alone_and_steady_the_fuel_is_what_the_jet_passes_between_bowl_and_chamber() {
    // Exact: the jet takes the chamber's drop less the head up to the well's end; gas out is gas in; nothing at all once the head is
    // more than the drop.
    let m = single();
    let level = m.carburettor.bowl.level_below_bore;
    let p = 101_325.0;
    let air = Outside { p, rho: 1.225 };
    let around = |drop: f64| {
        let outlet = Outside { p: p - drop, rho: 1.225 };
        Surroundings { bowl: air, air_jets: air, nozzle: air, outlet, bypass: Vec::new() }
    };
    let parts = starter(1.0);
    let fuel = &m.fuel;
    let law = JetLaw::new(parts.jet.bore, parts.jet.length, fuel.density, fuel.viscosity);
    let dt = 2e-5;
    for drop in [3e3, 1e4, 3e4] {
        let mut circuit = StarterMetering::new(&parts, level, fuel, p).unwrap();
        let mut step = circuit.step(dt, &around(drop));
        for _ in 0..150_000 {
            step = circuit.step(dt, &around(drop));
        }
        let lift = fuel.density * G0 * (level + parts.rise);
        let want = fuel.density * law.flow(p - circuit.chamber.pressure - lift);
        found(
            "starter alone at a suction [Pa]: fuel, the jet's, air [g/s]",
            &format!("{drop} {:.5} {:.5} {:.4}", 1e3 * step.fuel / dt, 1e3 * want, 1e3 * step.air / dt),
        );
        close("fuel out as the jet passes", step.fuel / dt, want, 1e-4);
        close("fuel drawn as given", step.drawn, step.fuel, 1e-6);
        close("gas out as in", step.gas, step.air, 1e-9);
    }
    let mut circuit = StarterMetering::new(&parts, level, fuel, p).unwrap();
    circuit.settle();
    let stock = circuit.fuel();
    for _ in 0..150_000 {
        let step = circuit.step(dt, &around(150.0));
        assert!(step.fuel <= 0.0, "{step:?}");
    }
    assert!(circuit.fuel() > stock, "the well rises towards the weaker air");
    let rise = (circuit.fuel() - stock) / (fuel.density * circuit.column.area);
    let head = (p - circuit.chamber.pressure) / (fuel.density * G0);
    found("well in a weak suction: rise and head [mm]", &format!("{:.3} {:.3}", 1e3 * rise, 1e3 * head));
    close("the well stands at the chamber's suction", rise, head, 1e-2);
}

#[test]
fn a_starter_shut_is_not_made() {
    let m = single();
    assert!(StarterMetering::new(&starter(0.0), 12e-3, &m.fuel, 1e5).is_none());
    assert!(StarterMetering::new(&starter(1e-3), 12e-3, &m.fuel, 1e5).is_some());
}
