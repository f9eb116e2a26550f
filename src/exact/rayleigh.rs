//! Rayleigh flow: heat through the wall of a duct of constant area, no friction.
//!
//! Heat drives the Mach number to 1, in both branches. With `d = 1 + g M^2` and star for the sonic end:
//!
//! - `T0/T0* = (g+1) M^2 (2 + (g-1) M^2) / d^2`
//! - `T/T* = ((g+1) M/d)^2`, `p/p* = (g+1)/d`, `p0/p0* = (g+1)/d ((2 + (g-1) M^2)/(g+1))^(g/(g-1))`
//!
//! Limits: steady; supersonic `T0/T0*` above its value at infinite Mach number, `(g^2-1)/g^2` (0.4898 for 1.4).
//! Source: Anderson, *Modern Compressible Flow*, section 3.8; Liepmann & Roshko, *Elements of Gasdynamics*, 1957 (both from
//! memory).

use super::branch::Branch;
use super::error::{Error, need, need_gamma};

/// The ratios at one Mach number, each over the value at the sonic end [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rayleigh {
    /// Mach number.
    pub mach: f64,
    /// Stagnation temperature ratio.
    pub t0: f64,
    /// Temperature ratio.
    pub t: f64,
    /// Pressure ratio.
    pub p: f64,
    /// Stagnation pressure ratio.
    pub p0: f64,
}

/// Ratios at `mach` of 0 or more.
///
/// # Errors
/// `mach` below 0 or not finite, `gamma` not above 1.
pub fn at(mach: f64, gamma: f64) -> Result<Rayleigh, Error> {
    need_gamma(gamma)?;
    need(mach >= 0.0 && mach.is_finite(), "mach", mach, "a finite number of 0 or more")?;
    let (g, m) = (gamma, mach * mach);
    let p = (g + 1.0) / (1.0 + g * m);
    let warm = (2.0 + (g - 1.0) * m) / (g + 1.0);
    Ok(Rayleigh { mach, t0: p * p * m * warm, t: p * p * m, p, p0: p * libm::pow(warm, g / (g - 1.0)) })
}

/// Mach number [-] on `branch` at the ratio `T0/T0*`, in closed form: with `b = g + 1 - g y` and `s = (g+1) sqrt(1 - y)`,
/// `M^2 = y/(b + s)` subsonic and `y/(b - s)` supersonic.
///
/// # Errors
/// A ratio below 0 or above 1 or, supersonic, not above `(g^2-1)/g^2`; `gamma` not above 1.
pub fn mach_from_stagnation_temperature(ratio: f64, gamma: f64, branch: Branch) -> Result<f64, Error> {
    need_gamma(gamma)?;
    need((0.0..=1.0).contains(&ratio), "T0/T0*", ratio, "0 to 1")?;
    let b = gamma + 1.0 - gamma * ratio;
    let s = (gamma + 1.0) * (1.0 - ratio).sqrt();
    match branch {
        Branch::Subsonic => Ok((ratio / (b + s)).sqrt()),
        Branch::Supersonic => {
            let least = (gamma * gamma - 1.0) / (gamma * gamma);
            need(ratio > least, "T0/T0*", ratio, "above (gamma^2 - 1)/gamma^2 in supersonic flow")?;
            Ok((ratio / (b - s)).sqrt())
        }
    }
}
