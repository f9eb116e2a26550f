//! Losses at ends and steps of ducts, as coefficients on a velocity head.

use crate::numeric::table;

/// Plain thin pipe in free space, inflow: coefficient on the pipe's velocity [-]. Source: Borda, exact.
pub const PLAIN_PIPE: f64 = 1.0;
/// Flush sharp inlet, inflow: coefficient on the pipe's velocity [-]. Source: common handbook value.
pub const FLUSH_PIPE: f64 = 0.5;

/// Bell mouth in a wall: radius over pipe diameter [-] and loss coefficient on the pipe's velocity [-].
///
/// Source: Fried & Idelchik, *Flow Resistance*, 1989, p. 52, as in a public table; at radius zero the flush sharp inlet.
const BELL_MOUTH: [(f64, f64); 8] = [
    (0.0, FLUSH_PIPE),
    (0.02, 0.37),
    (0.04, 0.26),
    (0.06, 0.20),
    (0.08, 0.15),
    (0.12, 0.09),
    (0.16, 0.06),
    (0.20, 0.03),
];

/// Inflow loss coefficient [-] of a bell mouth of `radius_over_diameter` [-], on the pipe's velocity head.
///
/// Straight lines through the table, 0.03 from a fifth of the diameter on. The bell mouth stands in a wall; free-standing
/// ones lose a little more when the radius is small.
#[must_use]
pub fn bell_mouth(radius_over_diameter: f64) -> f64 {
    table::linear(&BELL_MOUTH, radius_over_diameter)
}

/// Plain pipe in free space: wall over pipe diameter [-] and loss coefficient on the pipe's velocity [-].
///
/// Source: Idelchik's method, as in a public table; at zero wall Borda's exact value, a thick wall is a flush sharp inlet.
const PLAIN_PIPE_WALL: [(f64, f64); 5] =
    [(0.0, PLAIN_PIPE), (0.004, 0.94), (0.01, 0.86), (0.02, 0.72), (0.05, FLUSH_PIPE)];

/// Inflow loss coefficient [-] of the plain end of a pipe in free space whose wall is `wall_over_diameter` [-] thick, on the
/// pipe's velocity head.
///
/// Straight lines through the table; 0.5 from a twentieth of the diameter on. The edge is sharp and the pipe stands far out of any
/// wall (half a diameter or more).
#[must_use]
pub fn plain_pipe(wall_over_diameter: f64) -> f64 {
    table::linear(&PLAIN_PIPE_WALL, wall_over_diameter)
}

/// Discharge coefficient [-] of an inlet whose loss coefficient is `zeta` [-]: `1/sqrt(1 + zeta)`.
#[must_use]
pub fn inflow_discharge(zeta: f64) -> f64 {
    1.0 / (1.0 + zeta).sqrt()
}

/// Sudden expansion from area `a1` to `a2` (share `s = a1/a2`, 0 to 1): coefficient on the small area's velocity head [-],
/// `(1 - s)^2`. Source: Borda-Carnot, exact for uniform profiles.
#[must_use]
pub fn sudden_expansion(s: f64) -> f64 {
    let rest = 1.0 - s.clamp(0.0, 1.0);
    rest * rest
}

/// Sudden contraction to the share `s` (0 to 1) of the area: coefficient on the small area's velocity head [-],
/// `0.5 (1 - s)^0.75`. Source: Idelchik, diagram 3-9, newer editions (from memory); the older form is `0.5 (1 - s)`.
#[must_use]
pub fn sudden_contraction(s: f64) -> f64 {
    0.5 * libm::pow(1.0 - s.clamp(0.0, 1.0), 0.75)
}
