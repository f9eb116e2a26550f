//! A small single with a plain pipe on its inlet port, turned by a motor: nothing burns, no fuel, adiabatic cylinder.

use std::f64::consts::PI;
use std::path::Path;

use bellmouth::hardware::duct::Piece;
use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::poppet_valve::LiftProfile;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;

/// Gas of the pipe: cold air of constant `gamma`.
pub const R: f64 = 287.05;
pub const K: f64 = 1.4;
/// Cylinder bore and stroke [m], compression ratio [-], valve head and pipe bore [m].
pub const BORE: f64 = 60e-3;
pub const STROKE: f64 = 50e-3;
pub const RATIO: f64 = 10.0;
pub const HEAD: f64 = 30e-3;
pub const PIPE: f64 = 26e-3;
const CELL: f64 = 10e-3;

/// When the inlet valve works [rad after bottom and top centre].
#[derive(Clone, Copy)]
pub struct Timing {
    /// Opens before top centre [rad].
    pub opens: f64,
    /// Closes after bottom centre [rad].
    pub closes: f64,
}

/// Swept volume [m3].
pub fn swept() -> f64 {
    0.25 * PI * BORE * BORE * STROKE
}

/// Area of the pipe [m2].
pub fn area() -> f64 {
    0.25 * PI * PIPE * PIPE
}

/// The single with a pipe of `length` [m] from the valve to the open mouth, its added length included.
pub fn machine(length: f64, timing: Timing) -> Machine {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    let mut m = bellmouth::setup::load(&file, None).unwrap().value.machine;
    let t = m.air.temperature;
    let none = Jet { bore: 1e-6, length: 1e-3 };
    let e = &mut m.engine;
    (e.crank.bore, e.crank.stroke, e.crank.rod_length, e.crank.compression_ratio) = (BORE, STROKE, 1.8 * STROKE, RATIO);
    e.walls.heat_factor = 0.0;
    e.exhaust.pieces.clear();
    e.exhaust.silencer = None;
    e.exhaust.back_pressure = 0.0;
    let lift = |opens: f64, closes: f64, max_lift: f64| LiftProfile::Polynomial {
        max_lift,
        centre: 0.5 * (opens + closes),
        half_duration: 0.5 * (closes - opens),
    };
    let v = &mut e.inlet_valve;
    (v.count, v.head_diameter, v.port_diameter, v.stem_diameter) = (1, HEAD, 0.88 * HEAD, 6e-3);
    v.lift = lift(2.0 * PI - timing.opens, 3.0 * PI + timing.closes, 0.28 * HEAD);
    let x = &mut e.exhaust_valve;
    (x.count, x.head_diameter, x.port_diameter, x.stem_diameter) = (1, HEAD, 0.88 * HEAD, 6e-3);
    x.lift = lift(PI - 0.9, 2.0 * PI + timing.opens, 0.25 * HEAD);
    // A quarter of the pipe in front of the slide, which is out of the way.
    let pipe = |l: f64| vec![Piece::plain("pipe", l, PIPE, PIPE, t)];
    let c = &mut m.carburettor;
    c.end_correction = 0.6133;
    let drawn = length - 0.5 * PIPE * c.end_correction;
    (c.mouth, c.spigot, e.inlet) = (pipe(0.25 * drawn), pipe(0.25 * drawn), pipe(0.5 * drawn));
    c.mouth_loss = 0.03;
    (c.slide.bore, c.slide.width) = (PIPE, PIPE);
    (c.slide.discharge_shut, c.slide.discharge_open, c.slide.leak_area) = (1.0, 1.0, 0.0);
    (c.main.nozzle.width, c.main.nozzle.protrusion) = (0.0, 0.0);
    c.main.needle.stations = vec![(0.0, 1e-4)];
    (c.main.main_jet, c.main.air_jet) = (none, None);
    (c.pilot.jet, c.pilot.outlet, c.pilot.air_jet) = (none, none, None);
    c.pilot.bypass = Vec::new();
    c.bowl.level_below_bore = 1.0;
    m
}

/// Filling at `rpm`. With `wave_kept` false the gas in the pipe is put to rest just before the valve opens, so that only what happens
/// within the stroke is left.
pub fn filling(m: &Machine, rpm: f64, wave_kept: bool) -> f64 {
    let gas = GasModel::constant(R, K);
    let settings = Settings { cell_size: CELL, ..Settings::default() };
    let point = OperatingPoint { rpm, lift: m.carburettor.slide.bore };
    let mut rig = Rig::with_gas(m, point, &settings, gas).unwrap();
    let rest = (m.air.pressure / (R * m.air.temperature), 0.0, m.air.pressure, Composition::default());
    let opens = m.engine.inlet_valve.lift.opening();
    let mut last = f64::NAN;
    for _ in 0..40 {
        let mut stilled = wave_kept;
        let record = rig
            .run_cycle_with(false, |rig| {
                if !stilled && rig.phase() > opens - 0.02 {
                    rig.upstream.fill(&gas, |_| rest);
                    rig.downstream.fill(&gas, |_| rest);
                    stilled = true;
                }
            })
            .unwrap();
        assert!(!record.trapped.fired);
        let ve = record.trapped.fresh_dry_air / (m.air.dry_density() * swept());
        if (ve - last).abs() < 1e-4 {
            return ve;
        }
        last = ve;
    }
    last
}

/// Speeds [rpm] and filling at each, on two threads.
pub fn sweep(m: &Machine, speeds: &[f64], wave_kept: bool) -> Vec<f64> {
    let (a, b) = speeds.split_at(speeds.len() / 2);
    std::thread::scope(|s| {
        let low = s.spawn(|| a.iter().map(|rpm| filling(m, *rpm, wave_kept)).collect::<Vec<_>>());
        let mut high: Vec<f64> = b.iter().map(|rpm| filling(m, *rpm, wave_kept)).collect();
        let mut all = low.join().unwrap();
        all.append(&mut high);
        all
    })
}

/// The highest point of a curve of evenly spaced speeds, by the parabola through it and its neighbours.
pub fn peak(speeds: &[f64], ve: &[f64]) -> (f64, f64) {
    let i = (1..ve.len() - 1).max_by(|a, b| ve[*a].total_cmp(&ve[*b])).unwrap();
    let (l, m, r) = (ve[i - 1], ve[i], ve[i + 1]);
    let s = 0.5 * (l - r) / (l - 2.0 * m + r);
    (speeds[i] + s * (speeds[i + 1] - speeds[i]), m - 0.25 * (l - r) * s)
}
