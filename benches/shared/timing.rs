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

/// `wanted` rounds, or one when the bench only has to show that it runs.
pub fn rounds(wanted: usize) -> usize {
    if quick() { 1 } else { wanted }
}

/// Wall time of `run` [s].
pub fn once(run: &mut impl FnMut()) -> f64 {
    let start = Instant::now();
    run();
    start.elapsed().as_secs_f64()
}

/// Median of the wall times of `wanted` rounds of `run` [s].
pub fn median(wanted: usize, mut run: impl FnMut()) -> f64 {
    middle((0..rounds(wanted)).map(|_| once(&mut run)).collect())
}

/// Median wall time of `whole` [s], and of what `part`, run after it in each round, takes over it [-].
pub fn median_and_share(wanted: usize, mut whole: impl FnMut(), mut part: impl FnMut()) -> (f64, f64) {
    let (mut times, mut shares) = (Vec::new(), Vec::new());
    for _ in 0..rounds(wanted) {
        let time = once(&mut whole);
        times.push(time);
        shares.push(once(&mut part) / time);
    }
    (middle(times), middle(shares))
}

/// The middle one of some values.
fn middle(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}
