//! Times for the tables that stand below criterion's own figures. They are the processor's time of this thread, which a busy
//! computer changes less than wall time; criterion's are wall time.

use std::time::{Duration, Instant};

use cpu_time::ThreadTime;
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

/// Processor time of `run` [s].
fn once(run: &mut impl FnMut()) -> f64 {
    let start = ThreadTime::now();
    run();
    start.elapsed().as_secs_f64()
}

/// Processor times of `wanted` rounds of `run` [s], the shortest first.
pub fn rounds(wanted: usize, mut run: impl FnMut()) -> Vec<f64> {
    let mut times: Vec<f64> = (0..how_often(wanted)).map(|_| once(&mut run)).collect();
    times.sort_by(f64::total_cmp);
    times
}

/// Median of the processor times of `wanted` rounds of `run` [s].
pub fn median(wanted: usize, run: impl FnMut()) -> f64 {
    middle(&rounds(wanted, run))
}

/// A whole and a part of it.
pub struct Shared {
    /// Median wall time of the whole [s].
    pub wall: f64,
    /// Median processor time of the whole [s].
    pub processor: f64,
    /// Median of what the part takes over the whole [-].
    pub share: f64,
}

/// Times `whole` and `part` in turn, so that a busy computer slows both.
pub fn shared(wanted: usize, mut whole: impl FnMut(), mut part: impl FnMut()) -> Shared {
    let (mut walls, mut times, mut shares) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..how_often(wanted) {
        let start = Instant::now();
        let time = once(&mut whole);
        walls.push(start.elapsed().as_secs_f64());
        times.push(time);
        shares.push(once(&mut part) / time);
    }
    let [wall, processor, share] = [walls, times, shares].map(|mut values| {
        values.sort_by(f64::total_cmp);
        middle(&values)
    });
    Shared { wall, processor, share }
}

/// The middle one of sorted values.
pub fn middle(sorted: &[f64]) -> f64 {
    sorted[sorted.len() / 2]
}
