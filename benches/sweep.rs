//! The demo's map on one and on two threads: `cargo bench --bench sweep`, about a minute.
//!
//! A sample of the map by default. With `BELLMOUTH_SWEEP=default` it is the whole default grid, with `BELLMOUTH_SWEEP=20x20` 20 by 20
//! points from 1000 to 7000 rpm, solved once each: minutes. The table says how many cycles a point takes, and how many it would take
//! without the help of slow states and without the neighbour's state to start from.
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

/// Name of the variable that asks for a whole grid.
const WHOLE: &str = "BELLMOUTH_SWEEP";
const THREADS: [NonZeroUsize; 2] = [NonZeroUsize::MIN, NonZeroUsize::MIN.saturating_add(1)];

/// Points of a machine that all start from rest.
struct FromRest(MachineSolver);

impl PointSolver for FromRest {
    type State = ();

    fn solve(&self, throttle: f64, rpm: f64, _: &[()]) -> (PointResult, Option<()>) {
        (self.0.solve(throttle, rpm, &[]).0, None)
    }
}

/// `n` values from `from` to `to`.
fn evenly(from: f64, to: f64, n: usize) -> Vec<f64> {
    (0..n).map(|i| from + (to - from) * i as f64 / (n - 1) as f64).collect()
}

/// Neighbours in the default grid, where needle and cutaway hand over, few enough for a minute.
fn sample() -> Grid {
    Grid { throttles: vec![0.25, 0.3125, 0.375], speeds: vec![4000.0, 5000.0, 6000.0, 7000.0] }
}

/// The whole grid that is asked for by `name`.
fn whole(name: &str, machine: &Machine) -> Grid {
    match name {
        "default" => grid::build(None, None, &machine.engine).unwrap_or_else(|text| panic!("{text}")),
        "20x20" => Grid { throttles: evenly(0.05, 1.0, 20), speeds: evenly(1000.0, 7000.0, 20) },
        other => panic!("{WHOLE} is `default` or `20x20`, not `{other}`"),
    }
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
    println!("{name:>22}{threads:>9}{n:>8}{good:>11}{cycles:>8}{each:>9.2}{took:>8.2}{:>10.2}", n / took);
}

/// The map of a grid on one and on two threads, and what the help of slow states and a neighbour's state save.
fn table(solver: &MachineSolver, grid: &Grid) {
    println!("\n{}", computer::line());
    println!(
        "{:>22}{:>9}{:>8}{:>11}{:>8}{:>9}{:>8}{:>10}",
        "", "threads", "points", "converged", "cycles", "a point", "s", "points/s"
    );
    let plain = Settings { help_slow_states: false, ..solver.settings };
    let [one, two] = THREADS;
    line("map: neighbour, helped", solver, grid, one);
    line("map: neighbour, helped", solver, grid, two);
    line("from rest, helped", &FromRest(solver.clone()), grid, two);
    line("from rest, not helped", &FromRest(MachineSolver { settings: plain, ..solver.clone() }), grid, two);
}

fn map(c: &mut Criterion) {
    let solver = MachineSolver { machine: demo::machine(), settings: Settings::default() };
    if let Ok(name) = std::env::var(WHOLE) {
        return table(&solver, &whole(&name, &solver.machine));
    }
    let quick = timing::quick();
    let grid = if quick { Grid { throttles: vec![1.0], speeds: vec![5000.0, 6000.0] } } else { sample() };
    let points = grid.throttles.len() * grid.speeds.len();
    let mut group = c.benchmark_group(format!("{points} points of the map"));
    group.sampling_mode(SamplingMode::Flat).sample_size(10).throughput(Throughput::Elements(points as u64));
    group.warm_up_time(Duration::from_millis(1)).measurement_time(Duration::from_secs(20));
    for threads in THREADS {
        group.bench_function(format!("threads: {threads}"), |b| b.iter(|| run(&solver, &grid, threads)));
    }
    group.finish();
    if !quick {
        table(&solver, &grid);
    }
}

criterion_group!(benches, map);
criterion_main!(benches);
