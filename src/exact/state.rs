//! The state of a perfect gas at one place and time.

use super::error::{Error, need, need_positive};

/// Density, velocity and pressure, in SI or in any consistent set of units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Density [kg/m3].
    pub rho: f64,
    /// Velocity along +x [m/s].
    pub u: f64,
    /// Pressure [Pa, absolute].
    pub p: f64,
}

impl State {
    /// Speed of sound [m/s] `sqrt(gamma p / rho)`.
    #[must_use]
    pub fn sound(&self, gamma: f64) -> f64 {
        (gamma * self.p / self.rho).sqrt()
    }

    /// The same gas seen in a mirror: it runs the other way.
    #[must_use]
    pub fn mirrored(self) -> Self {
        Self { u: -self.u, ..self }
    }

    /// Passes a gas that can exist.
    pub(super) fn check(&self) -> Result<(), Error> {
        need_positive("rho", self.rho)?;
        need_positive("p", self.p)?;
        need(self.u.is_finite(), "u", self.u, "a finite number")
    }
}

impl From<(f64, f64, f64)> for State {
    fn from((rho, u, p): (f64, f64, f64)) -> Self {
        Self { rho, u, p }
    }
}

impl From<State> for (f64, f64, f64) {
    fn from(state: State) -> Self {
        (state.rho, state.u, state.p)
    }
}
