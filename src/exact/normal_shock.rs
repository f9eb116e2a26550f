//! Normal shock: the ratios across it as functions of the Mach number in front of it.
//!
//! - `M2^2 = (1 + (g-1)/2 M1^2) / (g M1^2 - (g-1)/2)`
//! - `p2/p1 = 1 + 2g/(g+1) (M1^2 - 1)`
//! - `rho2/rho1 = (g+1) M1^2 / (2 + (g-1) M1^2)`
//! - `p02/p01 = (rho2/rho1)^(g/(g-1)) (p2/p1)^(-1/(g-1))`
//!
//! Limits: M1 of 1 or more. Source: Liepmann & Roshko, *Elements of Gasdynamics*, 1957, chapter 2; Anderson, *Modern
//! Compressible Flow*, chapter 3 (both from memory).

use super::branch::{self, Branch};
use super::error::{Error, need, need_gamma};

/// A shock and the ratios across it, behind over in front [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NormalShock {
    /// Mach number in front.
    pub mach_1: f64,
    /// Mach number behind.
    pub mach_2: f64,
    /// Pressure ratio p2/p1.
    pub p: f64,
    /// Density ratio rho2/rho1.
    pub rho: f64,
    /// Temperature ratio T2/T1.
    pub t: f64,
    /// Ratio of stagnation pressures p02/p01.
    pub p0: f64,
}

/// The shock at `mach_1`.
///
/// # Errors
/// `mach_1` below 1 or not finite, `gamma` not above 1.
pub fn across(mach_1: f64, gamma: f64) -> Result<NormalShock, Error> {
    need_gamma(gamma)?;
    need(mach_1 >= 1.0 && mach_1.is_finite(), "mach_1", mach_1, "a finite number of 1 or more")?;
    Ok(ratios(mach_1, gamma))
}

/// `across` without its checks.
pub(super) fn ratios(mach_1: f64, g: f64) -> NormalShock {
    let m = mach_1 * mach_1;
    let p = 1.0 + 2.0 * g / (g + 1.0) * (m - 1.0);
    let rho = (g + 1.0) * m / (2.0 + (g - 1.0) * m);
    let mach_2 = ((1.0 + 0.5 * (g - 1.0) * m) / (g * m - 0.5 * (g - 1.0))).sqrt();
    let p0 = libm::pow(rho, g / (g - 1.0)) * libm::pow(p, -1.0 / (g - 1.0));
    NormalShock { mach_1, mach_2, p, rho, t: p / rho, p0 }
}

/// The shock with the ratio of stagnation pressures `p02/p01`. For a weak shock the loss rises with the cube of its
/// strength: rounding of the ratio moves a Mach number close to 1 by the cube root of it.
///
/// # Errors
/// A ratio outside (0, 1], `gamma` not above 1.
pub fn from_stagnation_pressure(ratio: f64, gamma: f64) -> Result<NormalShock, Error> {
    need_gamma(gamma)?;
    need(ratio > 0.0 && ratio <= 1.0, "p02/p01", ratio, "above 0, 1 at most")?;
    let mach_1 = branch::mach(Branch::Supersonic, |mach| libm::log(ratio / ratios(mach, gamma).p0))?;
    across(mach_1, gamma)
}
