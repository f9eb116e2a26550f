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

/// Largest `|d|` of [`near_one`] [-].
pub const NEAR: f64 = 1.0 / 64.0;

/// `(1 + d)^e` for `|d|` up to [`NEAR`] and `e` from -6 to 10: the binomial series to `d^9`, within 3e-15.
#[inline]
#[must_use]
pub fn near_one(d: f64, e: f64) -> f64 {
    const PER: [f64; 9] = [1.0, 1.0 / 2.0, 1.0 / 3.0, 1.0 / 4.0, 1.0 / 5.0, 1.0 / 6.0, 1.0 / 7.0, 1.0 / 8.0, 1.0 / 9.0];
    let mut sum = 1.0;
    for i in (0..PER.len()).rev() {
        sum = 1.0 + (e - i as f64) * PER[i] * d * sum;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::{NEAR, near_one, power};

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

    #[test]
    fn a_power_near_one_is_that_of_the_mathematical_library() {
        let mut worst: f64 = 0.0;
        for i in -200..=200 {
            let d = NEAR * f64::from(i) / 200.0;
            for e in [-6.0, -3.5, 0.285_714, 1.0, 2.5, 3.7, 10.0] {
                worst = worst.max((near_one(d, e) / libm::pow(1.0 + d, e) - 1.0).abs());
            }
        }
        assert!(worst < 4e-15, "{worst:e}");
    }
}
