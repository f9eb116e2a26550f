//! Time of one step of each fuel circuit and of the cylinder on the running demo: `cargo bench --bench circuits`.
//!
//! The circuits meet what they met in one whole cycle of the machine, from their state at its beginning; the starter, which the demo
//! has not, meets the same. The cylinder does the steps of its strokes again with the gas that passed its valves.
#![allow(clippy::print_stdout)]

mod shared;

use std::hint::black_box;

use bellmouth::hardware::carburettor::Passage;
use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::starter::Starter;
use bellmouth::metering::starter_circuit::StarterMetering;
use criterion::{BenchmarkGroup, Criterion, Throughput, criterion_group, criterion_main, measurement::WallTime};
use shared::recorded::{CylinderStep, Recorded, Stroke};
use shared::{computer, demo, timing};

/// Throttles [lift over bore] and speed [rpm] of the cycles.
const THROTTLES: [f64; 2] = [1.0, 0.125];
const RPM: f64 = 4000.0;
const ROUNDS: usize = 41;

/// A starter of our own invention, half open.
fn starter() -> Starter {
    Starter {
        jet: Jet { bore: 0.7e-3, length: 2.1e-3 },
        air: Jet { bore: 5e-3, length: 20e-3 },
        outlet: Jet { bore: 3e-3, length: 6e-3 },
        open: 0.5,
        well: Passage { length: 40e-3, bore: 2e-3 },
        rise: 5e-3,
        chamber: 0.3e-6,
    }
}

/// Runs `work`, which takes `steps` steps, by criterion, and returns its line of the table.
fn measure(
    group: &mut BenchmarkGroup<'_, WallTime>,
    name: &str,
    steps: usize,
    mut work: impl FnMut() -> f64,
) -> String {
    group.throughput(Throughput::Elements(steps as u64));
    group.bench_function(name, |b| b.iter(&mut work));
    let time = timing::median(ROUNDS, || _ = black_box(work()));
    format!("{name:>24}{steps:>8}{:>10.1}\n", 1e9 * time / steps as f64)
}

/// The steps of one stroke in their order, cut where another stroke lies between.
fn stroke(cycle: &Recorded, wanted: Stroke) -> Vec<&[CylinderStep]> {
    let pieces = cycle.cylinder.chunk_by(|a, b| a.stroke == b.stroke && b.theta > a.theta);
    pieces.filter(|piece| piece[0].stroke == wanted).collect()
}

fn circuits(c: &mut Criterion) {
    let machine = demo::machine();
    let mut table = String::new();
    for throttle in THROTTLES {
        let cycle = Recorded::cycle(&mut demo::running(&machine, throttle, RPM));
        let at = format!("throttle {throttle}, {RPM} rpm");
        table += &format!("{at}\n{:>24}{:>8}{:>10}\n", "", "steps", "ns each");
        let mut group = c.benchmark_group(format!("step, {at}"));
        let n = cycle.around.len();
        let mut drawn = [0.0; 2];
        table += &measure(&mut group, "main circuit", n, || {
            let mut main = cycle.before.main.clone();
            drawn[0] = cycle.around.iter().map(|(dt, around)| main.step(*dt, around).drawn).sum();
            drawn[0]
        });
        table += &measure(&mut group, "pilot circuit", n, || {
            let mut pilot = cycle.before.pilot.clone();
            drawn[1] = cycle.around.iter().map(|(dt, around)| pilot.step(*dt, around).drawn).sum();
            drawn[1]
        });
        let level = machine.carburettor.bowl.level_below_bore;
        let starter = StarterMetering::new(&starter(), level, &machine.fuel, machine.air.pressure);
        let mut starter = starter.expect("its plunger is half open");
        table += &measure(&mut group, "starter circuit", n, || {
            cycle.around.iter().map(|(dt, around)| starter.step(*dt, around).drawn).sum()
        });
        for (name, wanted) in [
            ("cylinder, compression", Stroke::Compression),
            ("cylinder, burning", Stroke::Burning),
            ("cylinder, gas exchange", Stroke::GasExchange),
        ] {
            let pieces = stroke(&cycle, wanted);
            let steps = pieces.iter().map(|piece| piece.len()).sum();
            table += &measure(&mut group, name, steps, || {
                let mut pressure = 0.0;
                for piece in &pieces {
                    let mut cylinder = piece[0].before.clone();
                    for s in *piece {
                        let shut = wanted != Stroke::GasExchange;
                        cylinder.step(&cycle.gas, s.dt, s.theta, RPM, black_box(s.valves), shut);
                    }
                    pressure += cylinder.charge.pressure;
                }
                pressure
            });
        }
        // That the same work was done shows in the fuel.
        let mg = |kg: f64| 1e6 * kg;
        let (r, [main, pilot]) = (&cycle.record, drawn.map(mg));
        let (main_run, pilot_run) = (mg(r.main), mg(r.pilot));
        table += &format!("fuel a cycle: main {main:.4} mg, in the run {main_run:.4}; ");
        table += &format!("pilot {pilot:.4} mg, in the run {pilot_run:.4}\n\n");
    }
    println!("{}\n{table}", computer::line());
}

criterion_group!(name = benches; config = timing::short(); targets = circuits);
criterion_main!(benches);
