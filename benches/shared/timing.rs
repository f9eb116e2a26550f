//! Wall time for the tables that stand below criterion's own figures.

use std::time::{Duration, Instant};

use criterion::Criterion;

/// Criterion for short runs: a second of warming up, two of measuring, twenty samples.
pub fn short() -> Criterion {
    let second = Duration::from_secs(1);
    Criterion::default().warm_up_time(second).measurement_time(2 * second).sample_size(20)
}

/// Whether the bench only has to show that it runs: `cargo bench -- --test`.
pub fn quick() -> bool {
    std::env::args().any(|a| a == "--test")
}

/// How often something is timed: once when the bench only has to show that it runs.
fn how_often(wanted: usize) -> usize {
    if quick() { 1 } else { wanted }
}

/// Wall time of `run` [s].
fn once(run: &mut impl FnMut()) -> f64 {
    let start = Instant::now();
    run();
    start.elapsed().as_secs_f64()
}

/// Wall times of `wanted` rounds of `run` [s], the shortest first.
pub fn rounds(wanted: usize, mut run: impl FnMut()) -> Vec<f64> {
    let mut times: Vec<f64> = (0..how_often(wanted)).map(|_| once(&mut run)).collect();
    times.sort_by(f64::total_cmp);
    times
}

/// Median of the wall times of `wanted` rounds of `run` [s].
pub fn median(wanted: usize, run: impl FnMut()) -> f64 {
    middle(&rounds(wanted, run))
}

/// Median wall time of `whole` [s], and of what `part`, run after it in each round, takes over it [-].
pub fn median_and_share(wanted: usize, mut whole: impl FnMut(), mut part: impl FnMut()) -> (f64, f64) {
    let (mut times, mut shares) = (Vec::new(), Vec::new());
    for _ in 0..how_often(wanted) {
        let time = once(&mut whole);
        times.push(time);
        shares.push(once(&mut part) / time);
    }
    [&mut times, &mut shares].into_iter().for_each(|v| v.sort_by(f64::total_cmp));
    (middle(&times), middle(&shares))
}

/// The middle one of sorted values.
pub fn middle(sorted: &[f64]) -> f64 {
    sorted[sorted.len() / 2]
}
