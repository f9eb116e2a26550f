//! Shape of a Laval nozzle that is a common check of flow solvers: smooth, areas 2.5, 1 and 1.5 over a length of 10.
//!
//! `A = 1.75 - 0.75 cos((0.2 x - 1) pi)` up to x = 5, `A = 1.25 - 0.25 cos((0.2 x - 1) pi)` beyond, in any one unit of length.
//! Source: the converging-diverging verification case of the NASA NPARC archive (from memory).

use std::f64::consts::PI;

use super::error::{Error, need};
use super::nozzle_flow::{LavalNozzle, Part};

/// Length, the throat in the middle.
pub const LENGTH: f64 = 10.0;
/// Area at the inlet, in the throat, at the exit.
pub const AREAS: [f64; 3] = [2.5, 1.0, 1.5];

/// Half the difference between the area of an end and that of the throat.
fn swing(part: Part) -> f64 {
    match part {
        Part::Convergent => 0.75,
        Part::Divergent => 0.25,
    }
}

/// Area at `x`, and the part of the nozzle that `x` lies in.
///
/// # Errors
/// A place outside 0 to 10.
pub fn area(x: f64) -> Result<(f64, Part), Error> {
    need((0.0..=LENGTH).contains(&x), "x", x, "0 to 10")?;
    let part = if x < 0.5 * LENGTH { Part::Convergent } else { Part::Divergent };
    // 1 - cos z as 2 sin^2(z/2), so that no area near the throat is rounded below 1
    let s = libm::sin(0.5 * (0.2 * x - 1.0) * PI);
    Ok(((1.0 + 2.0 * swing(part) * s * s).min(1.0 + 2.0 * swing(part)), part))
}

/// Place at which the area is `area`, in one part of the nozzle.
///
/// # Errors
/// An area that this part does not have.
pub fn place(area: f64, part: Part) -> Result<f64, Error> {
    let share = (area - AREAS[1]) / (2.0 * swing(part));
    need((0.0..=1.0).contains(&share), "area", area, "an area between the throat and that end")?;
    let away = LENGTH / PI * libm::asin(share.sqrt());
    Ok(match part {
        Part::Convergent => 0.5 * LENGTH - away,
        Part::Divergent => 0.5 * LENGTH + away,
    })
}

/// The nozzle, of a gas of heat-capacity ratio `gamma`.
///
/// # Errors
/// `gamma` not above 1.
pub fn nozzle(gamma: f64) -> Result<LavalNozzle, Error> {
    LavalNozzle::new(AREAS[0], AREAS[1], AREAS[2], gamma)
}
