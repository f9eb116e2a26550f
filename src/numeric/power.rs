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

/// Largest `|d|` for which the binomial series of [`PowerOfSum`] is summed [-].
const SUMMED: f64 = 0.05;

/// Powers of one exponent, of bases mostly near 1: `(1 + d)^e - 1`.
///
/// `(1 + d)^e - 1 = sum over j from 1 of C_j d^j`, `C_j = C_(j-1) (e - j + 1)/j`, `C_0 = 1`, for `|d|` up to 0.05 cut after
/// `j = 8`: with `e` from 1.5 to 5 that leaves out less than 4e-15, from 0 to 1.5 less than 3e-14. Beyond, by [`power`]. Costs a third of
/// a logarithm with an exponential, and small differences from 1 keep their digits. Not a number for `d` below -1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerOfSum {
    e: f64,
    c: [f64; 8],
}

impl PowerOfSum {
    /// The exponent `e` [-], from 0 to 5.
    #[inline]
    #[must_use]
    pub fn new(e: f64) -> Self {
        let c1 = e;
        let c2 = c1 * ((e - 1.0) * (1.0 / 2.0));
        let c3 = c2 * ((e - 2.0) * (1.0 / 3.0));
        let c4 = c3 * ((e - 3.0) * (1.0 / 4.0));
        let c5 = c4 * ((e - 4.0) * (1.0 / 5.0));
        let c6 = c5 * ((e - 5.0) * (1.0 / 6.0));
        let c7 = c6 * ((e - 6.0) * (1.0 / 7.0));
        let c8 = c7 * ((e - 7.0) * (1.0 / 8.0));
        Self { e, c: [c1, c2, c3, c4, c5, c6, c7, c8] }
    }

    /// `(1 + d)^e - 1` [-].
    #[inline]
    #[must_use]
    pub fn less_one(&self, d: f64) -> f64 {
        if d.abs() > SUMMED {
            return power(1.0 + d, self.e) - 1.0;
        }
        let c = &self.c;
        let d2 = d * d;
        let low = (c[0] + c[1] * d) + (c[2] + c[3] * d) * d2;
        let high = (c[4] + c[5] * d) + (c[6] + c[7] * d) * d2;
        d * (low + high * (d2 * d2))
    }
}

#[cfg(test)]
mod tests {
    use super::{NEAR, PowerOfSum, near_one, power};

    #[test]
    fn power_of_a_sum_is_that_of_the_mathematical_library_and_keeps_small_differences() {
        let mut small: f64 = 0.0;
        for e in [0.25, 0.5, 1.5, 2.0, 2.5, 2.95, 3.5, 4.2, 5.0] {
            let p = PowerOfSum::new(e);
            let mut worst: f64 = 0.0;
            for i in -700..700 {
                let d = 1e-3 * f64::from(i);
                let exact = libm::expm1(e * libm::log1p(d));
                worst = worst.max((p.less_one(d) - exact).abs() / (1.0 + exact));
                let d = 1e-9 * d;
                small = small.max((p.less_one(d) - libm::expm1(e * libm::log1p(d))).abs() / d.abs().max(1e-300));
            }
            assert!(worst < if e < 1.5 { 3e-14 } else { 5e-15 }, "{e} {worst:e}");
        }
        assert!(small < 5e-15, "{small:e}");
    }

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
