//! Fanno flow: adiabatic, in a duct of constant area with friction at the wall.
//!
//! Friction drives the Mach number to 1 over the length L*, in both branches. With the Darcy friction factor `f` (four
//! times Fanning's), `q = 1 + (g-1)/2 M^2` and star for the sonic end:
//!
//! - `f L*/D = (1 - M^2)/(g M^2) + (g+1)/(2g) ln[ (g+1) M^2 / (2 q) ]`
//! - `T/T* = (g+1)/(2 q)`, `p/p* = sqrt(T/T*)/M`, `p0/p0* = (1/M) (2 q/(g+1))^((g+1)/(2(g-1)))`
//!
//! Limits: steady, constant `f`, supersonic `f L*/D` below its value at infinite Mach number,
//! `(g+1)/(2g) ln[(g+1)/(g-1)] - 1/g` (0.8215 for 1.4). Source: Anderson, *Modern Compressible Flow*, section 3.9; Liepmann &
//! Roshko, *Elements of Gasdynamics*, 1957 (both from memory).

use super::branch::{self, Branch};
use super::error::{Error, need, need_gamma};
use super::isentropic;

/// The ratios at one Mach number [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fanno {
    /// Mach number.
    pub mach: f64,
    /// Length to the sonic end over the diameter, times the Darcy friction factor.
    pub length: f64,
    /// Temperature over that at the sonic end.
    pub t: f64,
    /// Pressure over that at the sonic end.
    pub p: f64,
    /// Stagnation pressure over that at the sonic end.
    pub p0: f64,
}

/// Ratios at `mach`.
///
/// # Errors
/// `mach` not above 0 or not finite, `gamma` not above 1.
pub fn at(mach: f64, gamma: f64) -> Result<Fanno, Error> {
    need_gamma(gamma)?;
    need(mach > 0.0 && mach.is_finite(), "mach", mach, "a finite number above 0")?;
    let t = 0.5 * (gamma + 1.0) * isentropic::ratios(mach, gamma).t;
    let p0 = isentropic::ratios(mach, gamma).area;
    Ok(Fanno { mach, length: length(mach, gamma), t, p: t.sqrt() / mach, p0 })
}

fn length(mach: f64, g: f64) -> f64 {
    let m = mach * mach;
    (1.0 - m) / (g * m) + 0.5 * (g + 1.0) / g * libm::log((g + 1.0) * m / (2.0 + (g - 1.0) * m))
}

/// Longest `f L*/D` [-] of supersonic flow.
///
/// # Errors
/// `gamma` not above 1.
pub fn longest_supersonic(gamma: f64) -> Result<f64, Error> {
    need_gamma(gamma)?;
    Ok(0.5 * (gamma + 1.0) / gamma * libm::log((gamma + 1.0) / (gamma - 1.0)) - 1.0 / gamma)
}

/// Mach number [-] on `branch` from which the flow becomes sonic over `f_length`, that is `f L*/D`.
///
/// # Errors
/// A length below 0 or, supersonic, not below the longest; `gamma` not above 1.
pub fn mach_from_length(f_length: f64, gamma: f64, branch: Branch) -> Result<f64, Error> {
    need_gamma(gamma)?;
    let longest = match branch {
        Branch::Subsonic => f64::INFINITY,
        Branch::Supersonic => longest_supersonic(gamma)?,
    };
    need(f_length >= 0.0 && f_length < longest, "f L*/D", f_length, "0 or more, and below the longest")?;
    branch::mach(branch, |mach| length(mach, gamma) - f_length)
}
