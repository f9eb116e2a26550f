//! The demo's map on one and on two threads: `cargo bench --bench sweep`, about a minute.
//!
//! A sample of the map by default. `BELLMOUTH_SWEEP=whole cargo bench --bench sweep` solves, once each, the whole default grid and 20 by
//! 20 points from 1000 to 7000 rpm. The tables say how many cycles a point takes, and how many it would take without the help of slow states
//! and without the neighbour's state to start from.
#![allow(clippy::print_stdout)]

mod shared;

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use bellmouth::cli::grid;
use bellmouth::hardware::machine::Machine;
use bellmouth::rig::settings::Settings;
use bellmouth::study::machine_solver::MachineSolver;
use bellmouth::study::map::Grid;
use bellmouth::study::point::PointResult;
use bellmouth::study::sweep::{self, PointSolver};
use criterion::{Criterion, SamplingMode, Throughput, criterion_group, criterion_main};
use shared::{computer, demo, timing};

/// Name of the variable that asks for whole grids.
const WHOLE: &str = "BELLMOUTH_SWEEP";
const THREADS: [NonZeroUsize; 2] = [NonZeroUsize::MIN, NonZeroUsize::MIN.saturating_add(1)];

/// Points of a machine that all start from rest.
struct FromRest(MachineSolver);

impl PointSolver for FromRest {
    type State = ();

    fn solve(&self, throttle: f64, rpm: f64, _: Option<&()>) -> (PointResult, Option<()>) {
        (self.0.solve(throttle, rpm, None).0, None)
    }
}

/// `n` values from `from` to `to`.
fn evenly(from: f64, to: f64, n: usize) -> Vec<f64> {
    (0..n).map(|i| from + (to - from) * i as f64 / (n - 1) as f64).collect()
}

/// Throttles and speeds at which the circuits hand over and the waves change, few enough for a minute.
fn sample() -> Grid {
    Grid { throttles: vec![0.125, 0.25, 1.0], speeds: vec![3000.0, 4000.0, 5000.0, 6000.0] }
}

/// The grids that a run without a sample solves.
fn whole(machine: &Machine) -> [(&'static str, Grid); 2] {
    let usual = grid::build(None, None, &machine.engine).unwrap_or_else(|text| panic!("{text}"));
    let square = Grid { throttles: evenly(0.05, 1.0, 20), speeds: evenly(1000.0, 7000.0, 20) };
    [("default grid", usual), ("20 by 20", square)]
}

fn run<S: PointSolver>(solver: &S, grid: &Grid, threads: NonZeroUsize) -> Vec<PointResult> {
    sweep::run(solver, grid, threads, &AtomicBool::new(false), &|_, _| ()).0
}

/// One solved grid as a line of the table.
fn line<S: PointSolver>(name: &str, solver: &S, grid: &Grid, threads: NonZeroUsize) {
    let start = Instant::now();
    let points = run(solver, grid, threads);
    let took = start.elapsed().as_secs_f64();
    let n = points.len() as f64;
    let cycles: u32 = points.iter().map(|p| p.cycles).sum();
    let good = points.iter().filter(|p| p.converged).count();
    let each = f64::from(cycles) / n;
    println!("{name:>32}{threads:>9}{n:>8}{good:>11}{cycles:>8}{each:>14.2}{took:>9.2}{:>10.2}", n / took);
}

fn heading() {
    println!("\n{}", computer::line());
    println!(
        "{:>32}{:>9}{:>8}{:>11}{:>8}{:>14}{:>9}{:>10}",
        "", "threads", "points", "converged", "cycles", "cycles/point", "s", "points/s"
    );
}

/// What the help of slow states and a neighbour's state save.
fn saved(solver: &MachineSolver, grid: &Grid) {
    let plain = Settings { help_slow_states: false, ..solver.settings };
    let threads = THREADS[1];
    line("from rest, slow states alone", &FromRest(MachineSolver { settings: plain, ..solver.clone() }), grid, threads);
    line("from rest, slow states helped", &FromRest(solver.clone()), grid, threads);
    line("from a neighbour, helped: a map", solver, grid, threads);
}

fn map(c: &mut Criterion) {
    let solver = MachineSolver { machine: demo::machine(), settings: Settings::default() };
    if std::env::var(WHOLE).is_ok_and(|asked| asked == "whole") {
        heading();
        for (name, grid) in whole(&solver.machine) {
            for threads in THREADS {
                line(name, &solver, &grid, threads);
            }
            saved(&solver, &grid);
        }
        return;
    }
    let quick = timing::quick();
    let grid = if quick { Grid { throttles: vec![1.0], speeds: vec![5000.0, 6000.0] } } else { sample() };
    let points = grid.throttles.len() * grid.speeds.len();
    let mut group = c.benchmark_group(format!("{points} points of the map"));
    group.sampling_mode(SamplingMode::Flat).sample_size(10).throughput(Throughput::Elements(points as u64));
    group.warm_up_time(Duration::from_millis(1)).measurement_time(Duration::from_secs(20));
    for threads in THREADS {
        group.bench_function(format!("{threads} threads"), |b| b.iter(|| run(&solver, &grid, threads)));
    }
    group.finish();
    if !quick {
        heading();
        THREADS.iter().for_each(|threads| line("a map", &solver, &grid, *threads));
        saved(&solver, &grid);
    }
}

criterion_group!(benches, map);
criterion_main!(benches);
