//! A bracketed root finder that always ends.

use thiserror::Error;

/// A root and how well it is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// Where the function crosses zero, within the tolerance.
    pub x: f64,
    /// Value of the function there.
    pub residual: f64,
    /// Evaluations of the function, the two at the ends included.
    pub evaluations: u32,
}

/// Why no root was found.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum RootError {
    /// The function has the same sign at both ends.
    #[error("no change of sign between `{lo}` (residual `{f_lo}`) and `{hi}` (residual `{f_hi}`)")]
    NotBracketed {
        /// Lower end.
        lo: f64,
        /// Upper end.
        hi: f64,
        /// Residual at the lower end.
        f_lo: f64,
        /// Residual at the upper end.
        f_hi: f64,
    },
    /// The function, or an end of the bracket, is not a number.
    #[error("the function is not a number at `{x}` (last residual `{residual}`)")]
    NotANumber {
        /// Where.
        x: f64,
        /// The last residual that was a number, or not a number if there was none.
        residual: f64,
    },
}

/// Slope parameter of the method, over the first bracket: `k1 = 0.2 / (hi - lo)`, with `k2 = 2`.
const K1: f64 = 0.2;
/// Evaluations allowed above those of a plain bisection.
const SLACK: f64 = 1.0;
/// Bound on the steps whatever the tolerance; halving a bracket of doubles cannot go on longer than this.
const MAX_STEPS: u32 = 2_100;

/// Root of `f` between `lo` and `hi` to within `tolerance` [in the unit of x].
///
/// The interpolate, truncate, project method: a secant step held near the middle of the bracket, so that it needs at most
/// one evaluation more than bisection and about as few as a secant for a smooth function. It ends after
/// `log2((hi - lo) / (2 tolerance)) + 1` steps, or when the bracket is as small as two neighbouring doubles.
/// Source: Oliveira & Takahashi, ACM Trans. Math. Softw. 47(1), 2020 (from memory).
///
/// # Errors
/// `NotBracketed` with both residuals if the signs at the ends agree; `NotANumber` if `f` or an end is not one.
pub fn find(mut f: impl FnMut(f64) -> f64, lo: f64, hi: f64, tolerance: f64) -> Result<Root, RootError> {
    let (mut a, mut b) = if lo <= hi { (lo, hi) } else { (hi, lo) };
    let (raw_a, raw_b) = (f(a), f(b));
    for (x, y) in [(a, raw_a), (b, raw_b)] {
        if x.is_nan() || y.is_nan() {
            return Err(RootError::NotANumber { x, residual: if raw_a.is_nan() { raw_b } else { raw_a } });
        }
    }
    if raw_a.abs() <= 0.0 {
        return Ok(Root { x: a, residual: raw_a, evaluations: 2 });
    }
    if raw_b.abs() <= 0.0 {
        return Ok(Root { x: b, residual: raw_b, evaluations: 2 });
    }
    if (raw_a > 0.0) == (raw_b > 0.0) {
        return Err(RootError::NotBracketed { lo: a, hi: b, f_lo: raw_a, f_hi: raw_b });
    }
    let sign = if raw_b > 0.0 { 1.0 } else { -1.0 };
    let (mut fa, mut fb) = (sign * raw_a, sign * raw_b);
    let tolerance = tolerance.abs().max(f64::MIN_POSITIVE);
    let first = b - a;
    let mut reach = tolerance * libm::exp2(libm::ceil(libm::log2((first / (2.0 * tolerance)).max(1.0))) + SLACK);
    let mut evaluations = 2;
    while b - a > 2.0 * tolerance && evaluations < MAX_STEPS {
        let middle = 0.5 * (a + b);
        if middle <= a || middle >= b {
            break;
        }
        let secant = (fb * a - fa * b) / (fb - fa);
        let towards = if middle >= secant { 1.0 } else { -1.0 };
        let pull = K1 / first * (b - a) * (b - a);
        let truncated =
            if secant.is_finite() && pull <= (middle - secant).abs() { secant + towards * pull } else { middle };
        let radius = (reach - 0.5 * (b - a)).max(0.0);
        let mut x = if (truncated - middle).abs() <= radius { truncated } else { middle - towards * radius };
        if x <= a || x >= b {
            x = middle;
        }
        let y = sign * f(x);
        evaluations += 1;
        if y.is_nan() {
            return Err(RootError::NotANumber { x, residual: sign * if fb < -fa { fb } else { fa } });
        }
        if y.abs() <= 0.0 {
            return Ok(Root { x, residual: y, evaluations });
        }
        if y > 0.0 {
            (b, fb) = (x, y);
        } else {
            (a, fa) = (x, y);
        }
        reach *= 0.5;
    }
    let (x, y) = if fb < -fa { (b, fb) } else { (a, fa) };
    Ok(Root { x, residual: sign * y, evaluations })
}
