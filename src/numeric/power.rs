//! Powers in the solver's inner loops.

/// `x^e` for positive `x`: `exp(e ln x)`, exactly 1 at `x = 1`.
///
/// Relative error: about `1 + |e ln x|` units in the last place, 1e-15 for the pressure ratios and exponents of gas flow; `libm::pow`
/// has less than one and takes about four times as long. Not a number for negative `x`, 0 for 0 with positive `e`.
#[inline]
#[must_use]
pub fn power(x: f64, e: f64) -> f64 {
    libm::exp(e * libm::log(x))
}

#[cfg(test)]
mod tests {
    use super::power;

    #[test]
    fn power_is_that_of_the_mathematical_library_to_a_few_units_in_the_last_place() {
        let mut worst: f64 = 0.0;
        for i in 1..4000 {
            let x = 0.001 * f64::from(i);
            for e in [-6.0, -3.5, -0.7, 0.285_714, 1.0, 3.0, 3.5, 7.0] {
                let exact = libm::pow(x, e);
                worst = worst.max((power(x, e) / exact - 1.0).abs() / (1.0 + (e * libm::log(x)).abs()));
            }
        }
        assert!(worst < 3.0 * f64::EPSILON, "{worst:e}");
        assert!(power(1.0, 3.5).to_bits() == 1.0_f64.to_bits());
    }
}
