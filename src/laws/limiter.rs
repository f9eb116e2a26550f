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
    let m = if a.abs() < b.abs() { a } else { b };
    let m = 2.0 * m;
    let s = if c.abs() < m.abs() { c } else { m };
    if a * b > 0.0 { s } else { 0.0 }
}

/// The smaller of two slopes of one sign, zero when the signs differ.
#[inline(always)]
#[must_use]
pub fn minmod(a: f64, b: f64) -> f64 {
    let m = if a.abs() < b.abs() { a } else { b };
    if a * b > 0.0 { m } else { 0.0 }
}
