//! The demo with its 38 mm carburettor, the whole machine: `cargo bench --bench operating_point`.
//!
//! One operating point from rest and from its neighbour's state, as a map solves it; and one cycle of the machine once it repeats. The
//! throughput of a cycle is in simulated microseconds, so elements per second over a million is simulated time over wall time.
#![allow(clippy::print_stdout)]

mod shared;

use std::hint::black_box;
use std::time::Duration;

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::media::gas::GasModel;
use bellmouth::rig::machine_state::Rig;
use bellmouth::rig::settings::Settings;
use bellmouth::study::point;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use shared::recorded::{Recorded, solve_again};
use shared::{computer, demo, timing};

/// Speeds of the cycles that are timed one by one, full throttle [rpm].
const SPEEDS: [f64; 3] = [2000.0, 4000.0, 6000.0];
/// Speeds of the table [rpm]: all that the demo reaches.
const ROWS: [f64; 7] = [1000.0, 2000.0, 3000.0, 4000.0, 5000.0, 6000.0, 7000.0];
/// Cells of the table's last row [m], about 200 in the whole machine.
const FINE: f64 = 2.2e-3;
/// Speed [rpm] and throttle [lift over bore] of the point that is solved, and the throttle that a map solves before it.
const POINT: (f64, f64, f64) = (4000.0, 0.5, 0.625);
const ROUNDS: usize = 15;
/// Steps of the ducts with one gas and with the other.
const DUCT_STEPS: usize = 1000;

fn solved(c: &mut Criterion) {
    let machine = demo::machine();
    let (rpm, throttle, before) = POINT;
    let settings = Settings::default();
    let solve = |parent: Option<&Rig>, throttle: f64| point::solve(&machine, throttle, rpm, parent, &settings);
    let (_, parent) = solve(None, before);
    let parent = parent.expect("the demo's point converges");
    let mut group = c.benchmark_group(format!("one point, throttle {throttle}, {rpm} rpm"));
    for (name, parent) in [("from rest", None), ("from its neighbour", Some(&parent))] {
        group.bench_function(name, |b| b.iter(|| solve(black_box(parent), throttle)));
        println!("{name}: {} cycles", solve(parent, throttle).0.cycles);
    }
}

fn cycle(c: &mut Criterion) {
    let machine = demo::machine();
    let mut group = c.benchmark_group("one cycle, full throttle");
    for rpm in SPEEDS {
        let mut rig = demo::running(&machine, 1.0, rpm);
        group.throughput(Throughput::Elements((120.0e6 / rpm) as u64));
        group.bench_function(format!("{rpm:.0} rpm"), |b| b.iter(|| rig.run_cycle(false).is_ok()));
    }
    let table: String = ROWS.iter().map(|rpm| row(&mut demo::running(&machine, 1.0, *rpm))).collect();
    let [new, constant] = gas_cost(&demo::running(&machine, 1.0, 4000.0));
    println!("\n{}; full throttle, whole machine", computer::line());
    println!(
        "{:>6}{:>7}{:>7}{:>10}{:>11}{:>11}{:>9}{:>9}",
        "rpm", "steps", "cells", "updates", "ns/update", "sim./wall", "|u|+c", "faces"
    );
    let fine = Settings { cell_size: FINE, ..Settings::default() };
    let fine = row(&mut demo::running_on(&machine, 1.0, 4000.0, &fine));
    println!("{table}{fine}");
    println!("updates: steps times cells, ns/update in processor time; sim./wall: simulated time over wall time;");
    println!(
        "|u|+c: the fastest wave in m/s; faces: the cycle's four faces solved again by themselves, over the cycle's time"
    );
    println!("ducts alone: {new:.1} ns per cell-update, {constant:.1} with one gamma held");
}

/// One line of the table for the next cycles of `rig`.
fn row(rig: &mut Rig) -> String {
    let kept = Recorded::cycle(rig);
    let (r, cells) = (&kept.record, demo::cells(rig));
    // Successive cycles differ by less than the tolerance of a point, so that the recorded one stands for those that are timed.
    let time = timing::shared(
        ROUNDS,
        || _ = black_box(rig.run_cycle(false).is_ok()),
        || kept.faces.iter().for_each(|f| _ = black_box(solve_again(black_box(f)))),
    );
    let updates = r.steps as f64 * cells as f64;
    format!(
        "{:>6}{:>7}{cells:>7}{updates:>10}{:>11.1}{:>11.2}{:>9.0}{:>7.0} %\n",
        rig.point().rpm,
        r.steps,
        1e9 * time.processor / updates,
        r.time / time.wall,
        r.fastest,
        100.0 * time.share
    )
}

/// Time per cell-update [ns] of the ducts of `rig`, their ends shut, with its gas and with the gamma that each cell has, held.
fn gas_cost(rig: &Rig) -> [f64; 2] {
    let gas = GasModel::new(&rig.machine().air, &rig.machine().fuel);
    let steps = if timing::quick() { 1 } else { DUCT_STEPS };
    let updates = steps as f64 * demo::cells(rig) as f64;
    let ways: [fn(DuctCells) -> DuctCells; 2] = [|duct| duct, DuctCells::one_gamma];
    ways.map(|with| {
        let shut = |cells: &DuctCells| LoneDuct::new(gas, with(cells.clone()), [End::Shut; 2]);
        let times = timing::median(ROUNDS, || {
            for mut duct in rig.ducts().map(shut) {
                for _ in 0..steps {
                    let dt = duct.stable_step();
                    assert!(duct.step(dt).is_ok(), "a shut duct stays sound");
                }
                black_box(duct.time);
            }
        });
        1e9 * times / updates
    })
}

criterion_group!(
    name = points;
    config = Criterion::default().warm_up_time(Duration::from_secs(1)).sample_size(10);
    targets = solved
);
criterion_group!(name = cycles; config = timing::short(); targets = cycle);
criterion_main!(points, cycles);
