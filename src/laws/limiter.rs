//! Slope limiters.

/// Monotonised-central slope of three neighbours, from the backward difference `a` and the forward
/// difference `b`: `minmod(2a, (a+b)/2, 2b)`; zero at an extremum, the central slope where smooth.
///
/// Source: van Leer, J. Comput. Phys. 23 (1977) 276, eq. 66 (from memory). Written without branches on the
/// data's history so that loops vectorise.
#[inline(always)]
#[must_use]
pub fn monotonised_central(a: f64, b: f64) -> f64 {
    let c = 0.5 * (a + b);
    let (x, y, z) = (a.abs(), b.abs(), c.abs());
    let m = if x < y { x } else { y };
    let m = 2.0 * m;
    let s = if z < m { z } else { m };
    if a * b > 0.0 { s.copysign(c) } else { 0.0 }
}

/// The smaller of two slopes of one sign, zero when the signs differ.
#[inline(always)]
#[must_use]
pub fn minmod(a: f64, b: f64) -> f64 {
    let m = if a.abs() < b.abs() { a } else { b };
    if a * b > 0.0 { m } else { 0.0 }
}

/// The difference `a` across the end of a row for which [`monotonised_central`]`(a, b)` is the slope `s`, one between 0 and `b`: the
/// guest beyond an end cell stands at `a` from it where a one-sided slope is wanted there.
///
/// `s = 2a` where that is the smallest of the three, `a = s/2 <= b/3`; else `s = (a + b)/2`, `a = 2s - b`.
#[inline(always)]
#[must_use]
pub fn guest_difference(s: f64, b: f64) -> f64 {
    let near = 0.5 * s;
    let central = 2.0 * s - b;
    if 3.0 * s.abs() < 2.0 * b.abs() { near } else { central }
}

#[cfg(test)]
#[allow(clippy::float_cmp)]
mod tests {
    use super::{guest_difference, minmod, monotonised_central};

    // Exact.
    #[test]
    fn a_guest_gives_the_one_sided_slope() {
        for b in [-3.0, -0.5, 0.0, 0.25, 8.0] {
            for second in [-4.0, -1.0, -0.125, 0.0, 0.0625, 0.5, 2.0, 16.0] {
                let wanted = minmod(b, second);
                assert_eq!(monotonised_central(guest_difference(wanted, b), b), wanted, "{b} {second}");
            }
        }
    }
}
