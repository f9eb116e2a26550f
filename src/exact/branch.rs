//! The two Mach numbers that one ratio allows, and the search for the wanted one.

use crate::numeric::root;

use super::error::Error;

/// Which of the two Mach numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Branch {
    /// Below 1.
    Subsonic,
    /// Above 1.
    Supersonic,
}

/// Ends of the search [-]; at these Mach numbers no table of any gas holds a ratio that matters.
const LEAST: f64 = 1.0e-9;
const GREATEST: f64 = 1.0e9;
/// Error of the logarithm of the Mach number at which the search ends [-].
const TOLERANCE: f64 = 1.0e-16;

/// Mach number on `branch` at which `residual` is zero. Where the ratio has its extreme at Mach 1, rounding in the ratio
/// moves a Mach number close to 1 by the square root of it.
pub(super) fn mach(branch: Branch, residual: impl Fn(f64) -> f64) -> Result<f64, Error> {
    let (lo, hi) = match branch {
        Branch::Subsonic => (LEAST, 1.0),
        Branch::Supersonic => (1.0, GREATEST),
    };
    Ok(libm::exp(root::find(|x| residual(libm::exp(x)), libm::log(lo), libm::log(hi), TOLERANCE)?.x))
}
