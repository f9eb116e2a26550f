//! Time of one solved face on the running demo: `cargo bench --bench faces`.
//!
//! The problems are those of one whole cycle, in their order, so that each solve starts from where the last two point, as it does on the
//! machine; a valve's are those while it is open. One after the other without the ducts between them: the processor's caches and
//! branch predictor are warmer than on the machine.
#![allow(clippy::print_stdout)]

mod shared;

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use shared::recorded::{FACES, Problem, Recorded, solve_again};
use shared::{computer, demo, timing};

/// Throttle [lift over bore] and speed [rpm] of the cycles.
const POINTS: [(f64, f64); 2] = [(1.0, 4000.0), (0.125, 4000.0)];
const ROUNDS: usize = 41;

fn faces(c: &mut Criterion) {
    let machine = demo::machine();
    let mut table = String::new();
    for (throttle, rpm) in POINTS {
        let cycle = Recorded::cycle(&mut demo::running(&machine, throttle, rpm));
        let at = format!("throttle {throttle}, {rpm} rpm");
        let mut group = c.benchmark_group(format!("face, {at}"));
        let open = |problems: &[Problem]| problems.iter().copied().filter(Problem::is_open).collect::<Vec<_>>();
        let shut: Vec<Problem> = cycle.faces.iter().flatten().copied().filter(|p| !p.is_open()).collect();
        let sets = FACES.iter().copied().zip(cycle.faces.iter().map(|f| open(f))).chain([("a shut valve", shut)]);
        table += &format!("{at}\n{:>18}{:>9}{:>10}{:>13}\n", "face", "solves", "ns each", "evaluations");
        for (name, problems) in sets {
            let n = problems.len();
            group.throughput(Throughput::Elements(n as u64));
            group.bench_function(name, |b| b.iter(|| solve_again(black_box(&problems))));
            let time = timing::median(ROUNDS, || _ = black_box(solve_again(black_box(&problems))));
            let evaluations = solve_again(&problems) as f64 / n as f64;
            table += &format!("{name:>18}{n:>9}{:>10.1}{evaluations:>13.2}\n", 1e9 * time / n as f64);
        }
        let run = cycle.record.face_evaluations as f64 / cycle.record.steps as f64;
        let again = cycle.evaluations() as f64 / cycle.record.steps as f64;
        table +=
            &format!("evaluations a step: {again:.2} of these four, {run:.2} in the run, steps of area among them\n\n");
    }
    println!("{}\n{table}", computer::line());
}

criterion_group!(name = benches; config = timing::short(); targets = faces);
criterion_main!(benches);
