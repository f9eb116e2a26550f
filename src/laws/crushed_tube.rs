//! A round tube that was flattened: an ellipse of the same perimeter.

use std::f64::consts::PI;

use crate::numeric::root;

/// Steps of the arithmetic-geometric mean: it doubles its digits at each.
const MEANS: u32 = 8;
/// Least minor axis over diameter that is looked at [-].
pub const FLATTEST: f64 = 0.02;

/// Perimeter [m] of the ellipse with the axes (full lengths) `major` and `minor` [m], by the arithmetic-geometric mean:
/// `2 pi (a^2 - sum 2^(n-1) c_n^2) / M(a, b)` with the half axes `a`, `b`, `c_0^2 = a^2 - b^2`. Exact to round-off. Source: Gauss.
#[must_use]
pub fn ellipse_perimeter(major: f64, minor: f64) -> f64 {
    let (half, mut b) = (0.5 * major, 0.5 * minor);
    let mut a = half;
    let mut weight = 0.5;
    let mut sum = weight * (a * a - b * b);
    for _ in 0..MEANS {
        let c = 0.5 * (a - b);
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
        weight *= 2.0;
        sum += weight * c * c;
    }
    2.0 * PI * (half * half - sum) / a
}

/// Major axis over the round diameter [-] of a tube flattened to the minor axis `flat` (over the round diameter, held in
/// [`FLATTEST`] to 1), its perimeter kept.
#[must_use]
pub fn major_axis(flat: f64) -> f64 {
    let flat = flat.clamp(FLATTEST, 1.0);
    // a flat strip of the same perimeter is pi/2 wide
    root::find(|major| ellipse_perimeter(major, flat) - PI, 1.0, 0.5 * PI, 1e-13).map_or(1.0, |r| r.x)
}

/// Area and hydraulic diameter of a flattened tube, both over those of the round one [-]. They are equal, as the perimeter is kept.
#[must_use]
pub fn area_share(flat: f64) -> f64 {
    flat.clamp(FLATTEST, 1.0) * major_axis(flat)
}
