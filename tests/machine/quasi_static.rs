//! Filling in the limit of slow running: an exact result of the first law.
//!
//! Ideal cycle, adiabatic: exhaust at `pe`, inlet at `pi`, inlet opens and exhaust shuts at top centre, inlet shuts at bottom
//! centre: `ve = r/(r-1) - (pe/pi + k - 1)/(k (r-1))`. Source: Heywood, *Internal Combustion Engine Fundamentals*, 1988, eq. 6.2
//! (from memory); it does not depend on the temperature of the residual gas.

use bellmouth::hardware::duct::Piece;
use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::poppet_valve::{LiftProfile, PoppetValve};
use bellmouth::media::gas::GasModel;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::record::CycleRecord;
use bellmouth::rig::settings::Settings;
use std::f64::consts::PI;

use crate::{close, found, single};

const K: f64 = 1.4;
const R: f64 = 287.05;
const RATIO: f64 = 10.0;
/// Bore of the whole air passage [m], wide, so that its loss is nothing.
const PASSAGE: f64 = 60e-3;
const CELL: f64 = 40e-3;

fn pipe(length: f64, wall_temperature: f64) -> Vec<Piece> {
    let (name, d) = ("pipe".to_string(), PASSAGE);
    vec![Piece::plain(&name, length, d, d, wall_temperature)]
}

/// Area of all ports of a set of valves together [m2]: a pressure drop of some 30 Pa at mid-stroke and 60 rpm. A larger one
/// would empty the cylinder within one step.
const PORTS: f64 = 200e-6;
/// Number of valves that open and shut within a degree or two at 60 rpm.
const QUICK: u32 = 100;

/// `count` wide and tall valves on narrow ports: the more there are, the sooner after opening the ports alone decide.
fn valve(count: u32, opens: f64, closes: f64) -> PoppetValve {
    let stem_diameter: f64 = 5e-3;
    PoppetValve {
        count,
        head_diameter: 60e-3,
        seat_width: 1e-3,
        seat_angle: PI / 4.0,
        stem_diameter,
        port_diameter: (4.0 / PI * PORTS / f64::from(count) + stem_diameter * stem_diameter).sqrt(),
        lift: LiftProfile::Polynomial {
            max_lift: 20e-3,
            centre: 0.5 * (opens + closes),
            half_duration: 0.5 * (closes - opens),
        },
        flow_factor: 1.0,
    }
}

/// The known single as a slow, adiabatic, unfired pump without fuel; walls as warm as the air, slide out of the way.
fn pump(exhaust_over_inlet: f64, inlet_shuts: f64, count: u32) -> Machine {
    let mut m = single();
    let t = m.air.temperature;
    let none = Jet { bore: 1e-6, length: 1e-3 };
    let e = &mut m.engine;
    e.crank.compression_ratio = RATIO;
    e.walls.heat_factor = 0.0;
    e.exhaust.back_pressure = (exhaust_over_inlet - 1.0) * m.air.pressure;
    e.exhaust.pieces.clear();
    e.exhaust.silencer = None;
    e.inlet_valve = valve(count, 2.0 * PI, inlet_shuts);
    e.exhaust_valve = valve(count, PI, 2.0 * PI);
    e.inlet = pipe(2.0 * CELL, t);
    let c = &mut m.carburettor;
    (c.mouth, c.spigot) = (pipe(4.0 * CELL, t), pipe(2.0 * CELL, t));
    (c.mouth_loss, c.end_correction) = (0.0, 0.0);
    (c.slide.bore, c.slide.width) = (PASSAGE, PASSAGE);
    (c.slide.discharge_shut, c.slide.discharge_open, c.slide.leak_area) = (1.0, 1.0, 0.0);
    (c.main.nozzle.width, c.main.nozzle.protrusion) = (0.0, 0.0);
    c.main.needle.stations = vec![(0.0, 1e-4)];
    (c.main.main_jet, c.main.air_jet) = (none, None);
    (c.pilot.jet, c.pilot.outlet, c.pilot.air_jet) = (none, none, None);
    c.pilot.bypass = Vec::new();
    c.bowl.level_below_bore = 1.0;
    m
}

/// Filling of the last of `cycles` cycles.
fn filling(m: &Machine, rpm: f64, cycles: u32) -> (f64, CycleRecord) {
    let settings = Settings { cell_size: CELL, ..Settings::default() };
    let point = OperatingPoint { rpm, lift: m.carburettor.slide.bore };
    let mut rig = Rig::with_gas(m, point, &settings, GasModel::constant(R, K)).unwrap();
    let mut record = rig.run_cycle(false).unwrap();
    for _ in 1..cycles {
        record = rig.run_cycle(false).unwrap();
    }
    let swept = m.engine.crank.swept_volume();
    assert!(record.main + record.pilot <= 0.0 && !record.trapped.fired);
    (record.trapped.fresh_dry_air / (m.air.dry_density() * swept), record)
}

/// Heywood's eq. 6.2.
fn formula(exhaust_over_inlet: f64) -> f64 {
    RATIO / (RATIO - 1.0) - (exhaust_over_inlet + K - 1.0) / (K * (RATIO - 1.0))
}

#[test]
fn slow_pump_fills_as_the_first_law_says() {
    // Within 0.05 %: at 60 rpm the ports take 30 Pa of 1e5, and the valves follow the piston within two degrees of the
    // centres, where the volume has changed by less than a thousandth of the swept one. (0.5 % was wanted.)
    for ratio in [0.8, 1.0, 1.2] {
        let want = formula(ratio);
        let (got, record) = filling(&pump(ratio, 3.0 * PI, QUICK), 60.0, 4);
        found(
            "slow filling, Heywood eq. 6.2",
            &format!("pe/pi {ratio}: {got:.5}, formula {want:.5}, {} steps", record.steps),
        );
        close("filling", got, want, 5e-4);
    }
}

#[test]
fn slower_running_comes_nearer_to_the_limit() {
    // The ports' loss goes with the square of the speed; what it leaves of the error at 60 rpm is below 0.05 %.
    let errors =
        [960.0, 480.0, 240.0, 60.0].map(|rpm| (filling(&pump(1.2, 3.0 * PI, QUICK), rpm, 4).0 - formula(1.2)).abs());
    found("slow filling at pe/pi 1.2, error at 960, 480, 240 and 60 rpm", &format!("{errors:.5?}"));
    assert!(errors.windows(2).all(|e| e[1] < 0.6 * e[0]), "{errors:?}");
    assert!(errors[0] > 20.0 * errors[3], "{errors:?}");
}

#[test]
fn late_closing_traps_the_volume_that_is_left() {
    // Exact for a valve that shuts at once: at one pressure and temperature everywhere, ve = (V_ivc - V_c)/V_d. The profile
    // leaves the seat with the square of the angle, so the port shuts some degrees early, by an angle that falls with the root of
    // the number of valves: twice nearer for four times as many, and within 0.5 % with a hundred.
    let late = 40.0_f64;
    let shuts = 3.0 * PI + late.to_radians();
    let errors = [6, 25, QUICK].map(|count| {
        let m = pump(1.0, shuts, count);
        let crank = m.engine.crank;
        let want = (crank.volume(shuts) - crank.clearance_volume()) / crank.swept_volume();
        filling(&m, 60.0, 5).0 / want - 1.0
    });
    found(
        "slow filling, inlet shut 40 deg after bottom (exact), error with 6, 25, 100 valves",
        &format!("{errors:.5?}"),
    );
    assert!(errors.windows(2).all(|e| e[1] > 0.0 && e[1] < 0.65 * e[0]), "{errors:?}");
    assert!(errors[2] < 5e-3, "{errors:?}");
}
