//! What resists a vehicle at steady speed on a straight road, and what that asks of the crank.
//!
//! ```text
//! F = rho/2 CdA u |u| + m g (Crr cos t + sin t)      u = v + w,  tan t = grade
//! P = F v / eta   if F v > 0,    P = F v eta   if the wheel drives the engine
//! ```
//!
//! with the road speed `v`, the headwind `w`, the drag area `CdA`, the coefficient of rolling resistance `Crr` and the
//! efficiency `eta` from crank to road. Source: equilibrium of forces, as in any handbook of automotive engineering.
//! Limits: steady, straight, no side wind, `Crr` and `CdA` the same at every speed, losses of the drive line in proportion
//! to what it carries; its drag without load belongs to the engine's friction.

use crate::media::atmosphere::G0;

/// Drag of the air [N] on `drag_area` [m2] in air of `density` [kg/m3] that meets it at `air_speed` [m/s]; negative if it
/// pushes from behind.
#[must_use]
pub fn drag(drag_area: f64, density: f64, air_speed: f64) -> f64 {
    0.5 * density * drag_area * air_speed * air_speed.abs()
}

/// Rolling resistance [N] of `mass` [kg] on tyres of `coefficient` [-] on a road that rises by `grade` [-] in each unit of
/// level distance.
#[must_use]
pub fn rolling(mass: f64, coefficient: f64, grade: f64) -> f64 {
    mass * G0 * coefficient / (1.0 + grade * grade).sqrt()
}

/// Force along the road [N] that lifts `mass` [kg] up `grade` [-].
#[must_use]
pub fn climbing(mass: f64, grade: f64) -> f64 {
    mass * G0 * grade / (1.0 + grade * grade).sqrt()
}

/// Power at the crank [W] behind `force` [N] on the road at `speed` [m/s], through a drive line of `efficiency` [-].
#[must_use]
pub fn crank_power(force: f64, speed: f64, efficiency: f64) -> f64 {
    let at_wheel = force * speed;
    if at_wheel > 0.0 { at_wheel / efficiency } else { at_wheel * efficiency }
}
