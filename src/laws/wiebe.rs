//! The Wiebe function: how much of the charge has burnt.

use crate::numeric::power::power;

/// Usual shape of a spark-ignition burn: `a` [-]. Source: Heywood, 1988, eq. 9.27 (from memory).
pub const A: f64 = 5.0;
/// Usual shape of a spark-ignition burn: `m` [-]. Source: Heywood, 1988, eq. 9.27 (from memory).
pub const M: f64 = 2.0;

/// Burnt share [-] at `y = (theta - theta0)/duration`: `1 - exp(-a y^(m+1))`; 0 before the start.
///
/// It reaches `1 - exp(-a)` at `y = 1` (0.9933 for a = 5) and goes on beyond.
#[must_use]
pub fn burnt_fraction(y: f64, a: f64, m: f64) -> f64 {
    if y <= 0.0 {
        return 0.0;
    }
    -libm::expm1(-a * power(y, m + 1.0))
}

/// Burnt share [-] scaled so that it is 1 at `y = 1` and stays there.
#[must_use]
pub fn normalised(y: f64, a: f64, m: f64) -> f64 {
    if y >= 1.0 { 1.0 } else { burnt_fraction(y, a, m) / -libm::expm1(-a) }
}

/// Position `y` [-] at which the share `xb` [-] of `burnt_fraction` has burnt: `(-ln(1 - xb)/a)^(1/(m+1))`.
///
/// 0 for `xb <= 0`, infinite for `xb >= 1`.
#[must_use]
pub fn position(xb: f64, a: f64, m: f64) -> f64 {
    if xb <= 0.0 {
        return 0.0;
    }
    if xb >= 1.0 {
        return f64::INFINITY;
    }
    libm::pow(-libm::log1p(-xb) / a, 1.0 / (m + 1.0))
}

/// Position `y` [-] at which the share `xb` [-] of `normalised` has burnt, 0 to 1.
#[must_use]
pub fn normalised_position(xb: f64, a: f64, m: f64) -> f64 {
    position(xb * -libm::expm1(-a), a, m).min(1.0)
}
