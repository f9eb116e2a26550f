//! Isentropic flow along a duct of changing area: every ratio as a function of the Mach number, and back.
//!
//! With `q = 1 + (g-1)/2 M^2`: `T/T0 = 1/q`, `p/p0 = q^(-g/(g-1))`, `rho/rho0 = q^(-1/(g-1))`, and
//! `A/A* = (1/M) (2 q/(g+1))^((g+1)/(2(g-1)))`. Limits: steady, adiabatic, no friction.
//! Source: Liepmann & Roshko, *Elements of Gasdynamics*, 1957, chapter 2; Anderson, *Modern Compressible Flow*, chapters 3
//! and 5 (both from memory).

use super::branch::{self, Branch};
use super::error::{Error, need, need_gamma};

/// The ratios at one Mach number [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isentropic {
    /// Mach number.
    pub mach: f64,
    /// Temperature over stagnation temperature, T/T0.
    pub t: f64,
    /// Pressure over stagnation pressure, p/p0.
    pub p: f64,
    /// Density over stagnation density, rho/rho0.
    pub rho: f64,
    /// Area over the area of sonic flow, A/A*; infinite at rest.
    pub area: f64,
}

/// Ratios at `mach` of 0 or more.
///
/// # Errors
/// `mach` below 0 or not finite, `gamma` not above 1.
pub fn at(mach: f64, gamma: f64) -> Result<Isentropic, Error> {
    need_gamma(gamma)?;
    need(mach >= 0.0 && mach.is_finite(), "mach", mach, "a finite number of 0 or more")?;
    Ok(ratios(mach, gamma))
}

/// `at` without its checks.
pub(super) fn ratios(mach: f64, g: f64) -> Isentropic {
    let q = 1.0 + 0.5 * (g - 1.0) * mach * mach;
    Isentropic {
        mach,
        t: 1.0 / q,
        p: libm::pow(q, -g / (g - 1.0)),
        rho: libm::pow(q, -1.0 / (g - 1.0)),
        area: libm::pow(2.0 * q / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0)) / mach,
    }
}

/// Mach number [-] at the pressure ratio `p/p0`, which is one only: `M^2 = 2/(g-1) ((p/p0)^(-(g-1)/g) - 1)`.
///
/// # Errors
/// A ratio outside (0, 1], `gamma` not above 1.
pub fn mach_from_pressure(ratio: f64, gamma: f64) -> Result<f64, Error> {
    need_gamma(gamma)?;
    need(ratio > 0.0 && ratio <= 1.0, "p/p0", ratio, "above 0, 1 at most")?;
    Ok((2.0 / (gamma - 1.0) * libm::expm1(-(gamma - 1.0) / gamma * libm::log(ratio))).sqrt())
}

/// Mach number [-] on `branch` at the area ratio `A/A*`.
///
/// # Errors
/// A ratio below 1, or beyond what a Mach number of 1e-9 or 1e9 has; `gamma` not above 1.
pub fn mach_from_area(ratio: f64, gamma: f64, branch: Branch) -> Result<f64, Error> {
    need_gamma(gamma)?;
    need(ratio >= 1.0 && ratio.is_finite(), "A/A*", ratio, "a finite number of 1 or more")?;
    branch::mach(branch, |mach| libm::log(ratios(mach, gamma).area / ratio))
}

/// Pressure ratio `p/p0` of sonic flow [-]: `(2/(g+1))^(g/(g-1))`.
///
/// # Errors
/// `gamma` not above 1.
pub fn critical_pressure(gamma: f64) -> Result<f64, Error> {
    Ok(at(1.0, gamma)?.p)
}

/// Mass flow over `A p0 / sqrt(R T0)` [-] at `mach`: `sqrt(g) M q^(-(g+1)/(2(g-1)))`.
///
/// # Errors
/// As `at`.
pub fn flow(mach: f64, gamma: f64) -> Result<f64, Error> {
    let here = at(mach, gamma)?;
    Ok(gamma.sqrt() * mach * here.rho * here.t.sqrt())
}
