//! Why an exact solution cannot be given.

use thiserror::Error;

use crate::numeric::ode::OdeError;
use crate::numeric::root::RootError;

/// Why an exact solution cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum Error {
    /// An argument outside the solution's range.
    #[error("`{name}` is `{value}`, where the solution needs {range}")]
    Outside {
        /// The argument.
        name: &'static str,
        /// What was given.
        value: f64,
        /// What is allowed, in words.
        range: &'static str,
    },
    /// A root was not found; the last residual stands in the cause.
    #[error(transparent)]
    Root(#[from] RootError),
    /// An integration did not end well.
    #[error(transparent)]
    Integration(#[from] OdeError),
}

/// Passes if `holds`, which not a number must not.
pub(super) fn need(holds: bool, name: &'static str, value: f64, range: &'static str) -> Result<(), Error> {
    if holds { Ok(()) } else { Err(Error::Outside { name, value, range }) }
}

/// Passes a finite number above zero.
pub(super) fn need_positive(name: &'static str, value: f64) -> Result<(), Error> {
    need(value > 0.0 && value.is_finite(), name, value, "a finite number above 0")
}

/// Passes a heat-capacity ratio of a perfect gas.
pub(super) fn need_gamma(gamma: f64) -> Result<(), Error> {
    need(gamma > 1.0 && gamma.is_finite(), "gamma", gamma, "a finite number above 1")
}
