//! Exact solutions of gas dynamics against printed values, inverse pairs and independent integrations.

mod nozzle;
mod pipe;
mod resonator;
mod riemann;
mod tuning;
mod vessel;
mod wave;

/// The error's words, of what must be one.
#[track_caller]
fn refusal<T>(outcome: Result<T, bellmouth::exact::error::Error>) -> String {
    match outcome {
        Ok(_) => panic!("an argument outside the range was taken"),
        Err(error) => error.to_string(),
    }
}

/// Integral of `f` by Gauss and Legendre's rule of five points on `parts` equal parts.
fn integral(f: impl Fn(f64) -> f64, lo: f64, hi: f64, parts: u32) -> f64 {
    let (inner, outer) = (0.538_469_310_105_683_1, 0.906_179_845_938_664);
    let (w0, w1, w2) = (0.568_888_888_888_888_9, 0.478_628_670_499_366_47, 0.236_926_885_056_189_08);
    let h = (hi - lo) / f64::from(parts);
    let part = |i: u32| {
        let (middle, half) = (lo + (f64::from(i) + 0.5) * h, 0.5 * h);
        let pair = |x: f64| f(middle - half * x) + f(middle + half * x);
        half * (w0 * f(middle) + w1 * pair(inner) + w2 * pair(outer))
    };
    (0..parts).map(part).sum()
}
