//! A series in equal steps drawn on.

/// The next value of a series: the parabola through `now` and the two before it, `3 (now - before) + earlier`.
#[inline]
#[must_use]
pub fn next(now: f64, before: f64, earlier: f64) -> f64 {
    3.0 * (now - before) + earlier
}

#[cfg(test)]
mod tests {
    // Exact, in numbers without round-off.
    #[test]
    fn a_parabola_goes_on_as_itself() {
        let f = |x: f64| 2.0 - 3.0 * x + 0.5 * x * x;
        assert!((super::next(f(4.0), f(3.0), f(2.0)) - f(5.0)).abs() < 1e-300);
    }
}
