//! A liquid that runs through a small hole into free air under its own head.

use std::f64::consts::PI;

use super::jet::discharge;
use crate::media::atmosphere::G0;
use crate::media::test_liquid::TestLiquid;

/// A column of liquid above a hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// What it is.
    pub liquid: TestLiquid,
    /// Its temperature [K].
    pub temperature: f64,
    /// Mean height of its surface above the hole's outlet [m].
    pub head: f64,
}

/// Weber number `rho u^2 d / sigma` of the stream below which it breaks into drops at the hole instead of running free [-]. Source: a
/// jet forms above a Weber number of 4 to 8 (Lindblad & Schneider 1965; from memory).
pub const WEBER_LOWEST: f64 = 8.0;

impl Column {
    /// Loss-free speed [m/s] through a hole of `bore` [m]: `sqrt(2 dp/rho)` with `dp = rho g h - 2 sigma/d`.
    ///
    /// The surface of a free stream as wide as the hole holds a pressure of `sigma / r` inside (Young and Laplace): 1 % of 0.36 m of
    /// petrol at a bore of 1.5 mm, 4 % at 0.45 mm; of water 3 and 9 %. None is left of it if the hole's outlet lies under the liquid.
    #[must_use]
    pub fn speed(&self, bore: f64) -> f64 {
        let rho = self.liquid.density(self.temperature);
        let dp = rho * G0 * self.head - 2.0 * self.liquid.surface_tension(self.temperature) / bore;
        (2.0 * dp.max(0.0) / rho).sqrt()
    }

    /// Flow [m3/s] through a hole of `bore` [m] and `length` over it [-]: `Q = Cd(Re_h, l/d) pi/4 d^2 u`, `Re_h = d u / nu`. Rises with the
    /// bore. Not modelled: a stream that clings to the jet's face, a head that falls while it runs.
    #[must_use]
    pub fn flow(&self, bore: f64, slenderness: f64) -> f64 {
        let speed = self.speed(bore);
        let re = bore * speed / self.liquid.viscosity(self.temperature);
        discharge(re, slenderness) * 0.25 * PI * bore * bore * speed
    }

    /// Weber number of the stream from a hole of `bore` [m] that passes `flow` [m3/s] [-].
    #[must_use]
    pub fn weber(&self, bore: f64, flow: f64) -> f64 {
        let u = flow / (0.25 * PI * bore * bore);
        self.liquid.density(self.temperature) * u * u * bore / self.liquid.surface_tension(self.temperature)
    }
}
