//! A vessel of fixed volume that empties through an orifice of constant effective area, without heat.
//!
//! The gas left in the vessel expands isentropically: `rho ~ p^(1/g)`, `T ~ p^((g-1)/g)`. While the orifice is choked the
//! pressure has a closed form: `p/p_s = (1 + (g-1)/2 t/tau)^(-2g/(g-1))`, `tau = V / (Cd A C sqrt(R T_s))` with the choked
//! coefficient `C = sqrt(g) (2/(g+1))^((g+1)/(2(g-1)))`. Below the critical ratio the equation is integrated, for
//! `w = sqrt(p/p_out - 1)`, which falls to 0 at a finite slope and so in a finite time.
//!
//! Limits: quasi-steady flow through the orifice, uniform gas in the vessel, constant pressure outside, no heat from the wall.
//! Source: conservation of mass and energy with the isentropic restriction; the closed form e.g. in Anderson, *Modern
//! Compressible Flow* (from memory).

use nalgebra::SVector;

use crate::numeric::ode::{Accuracy, integrate};

use super::error::{Error, need, need_gamma, need_positive};
use super::isentropic;

/// Tolerances of the integration, two digits above the round-off of the pressure.
const ACCURACY: Accuracy = Accuracy { relative: 1.0e-12, absolute: 1.0e-13, longest_step: 0.0, steps: 200_000 };

/// The vessel at the start, and what it empties through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlowDown {
    /// Volume of the vessel [m3].
    pub volume: f64,
    /// Discharge coefficient times area of the orifice [m2].
    pub effective_area: f64,
    /// Gas constant [J/(kg K)].
    pub r: f64,
    /// Heat-capacity ratio [-].
    pub gamma: f64,
    /// Pressure in the vessel at the start [Pa].
    pub pressure: f64,
    /// Temperature in the vessel at the start [K].
    pub temperature: f64,
    /// Pressure outside [Pa].
    pub outside: f64,
}

/// The gas in the vessel at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vessel {
    /// Pressure [Pa].
    pub pressure: f64,
    /// Temperature [K].
    pub temperature: f64,
    /// Mass [kg].
    pub mass: f64,
}

impl BlowDown {
    fn check(&self) -> Result<(), Error> {
        need_gamma(self.gamma)?;
        need_positive("volume", self.volume)?;
        need_positive("effective_area", self.effective_area)?;
        need_positive("r", self.r)?;
        need_positive("temperature", self.temperature)?;
        need_positive("outside", self.outside)?;
        let above = self.pressure >= self.outside && self.pressure.is_finite();
        need(above, "pressure", self.pressure, "a finite number not below that outside")
    }

    /// Time scale [s] `tau` of the closed form.
    fn scale(&self) -> Result<f64, Error> {
        let choked = isentropic::flow(1.0, self.gamma)?;
        Ok(self.volume / (self.effective_area * choked * (self.r * self.temperature).sqrt()))
    }

    /// Time [s] at which the orifice ceases to be choked; 0 if it never is.
    ///
    /// # Errors
    /// A measure not above 0, `gamma` not above 1, a vessel below the pressure outside.
    pub fn choked_until(&self) -> Result<f64, Error> {
        self.check()?;
        let left = (self.outside / isentropic::critical_pressure(self.gamma)? / self.pressure).min(1.0);
        let k = 0.5 * (self.gamma - 1.0);
        Ok(self.scale()? * libm::expm1(-k / self.gamma * libm::log(left)) / k)
    }

    /// Gas in the vessel at `t` [s].
    ///
    /// # Errors
    /// As `choked_until`; a time below 0; an integration that did not end well.
    pub fn at(&self, t: f64) -> Result<Vessel, Error> {
        let choked_until = self.choked_until()?;
        need(t >= 0.0 && t.is_finite(), "t", t, "a finite number of 0 or more")?;
        if t <= choked_until {
            let k = 0.5 * (self.gamma - 1.0);
            let base = 1.0 + k * t / self.scale()?;
            return Ok(self.vessel(self.pressure * libm::pow(base, -self.gamma / k)));
        }
        // stops once empty: beyond that the equation for w would fill the vessel again
        let y0 = SVector::<f64, 1>::new(self.start_of_unchoked()?);
        let slope = |_: f64, y: &SVector<f64, 1>| SVector::<f64, 1>::new(self.slope(y[0]));
        let end = integrate(slope, choked_until, t, y0, ACCURACY, |_, y| y[0] <= 0.0)?;
        let w = end.last().map_or(0.0, |(_, y)| y[0].max(0.0));
        Ok(self.vessel(self.outside * (1.0 + w * w)))
    }

    /// Time [s] at which the pressure in the vessel has fallen to that outside.
    ///
    /// # Errors
    /// As `at`.
    pub fn emptying_time(&self) -> Result<f64, Error> {
        let start = self.choked_until()?;
        let w0 = self.start_of_unchoked()?;
        let y0 = SVector::<f64, 1>::new(0.0);
        let scale = self.scale()?;
        // time over `scale` as a function of how far w has come down
        let slope = |fallen: f64, _: &SVector<f64, 1>| SVector::<f64, 1>::new(-1.0 / (scale * self.slope(w0 - fallen)));
        let end = integrate(slope, 0.0, w0, y0, ACCURACY, |_, _| false)?;
        Ok(start + scale * end.last().map_or(0.0, |(_, y)| y[0]))
    }

    /// `w` at the start of the unchoked phase.
    fn start_of_unchoked(&self) -> Result<f64, Error> {
        let critical = 1.0 / isentropic::critical_pressure(self.gamma)?;
        Ok(((self.pressure / self.outside).min(critical) - 1.0).max(0.0).sqrt())
    }

    /// dw/dt [1/s]: `-(g R T / (2 V p_out)) m / w`, with the mass flow `m` of the isentropic restriction, which is in
    /// proportion to w where w is small.
    fn slope(&self, w: f64) -> f64 {
        let (k, square) = ((self.gamma - 1.0) / self.gamma, w * w);
        let p = self.outside * (1.0 + square);
        let drop = -libm::expm1(-k * libm::log1p(square));
        // (1 - r^k)/w^2, whose limit is k; the next term is of the order of w^2
        let drop_over_square = if square > f64::EPSILON { drop / square } else { k };
        let rt = self.r * self.temperature * libm::pow(p / self.pressure, k);
        let flow_over_w = self.effective_area * p / rt.sqrt()
            * libm::pow(1.0 + square, -1.0 / self.gamma)
            * (2.0 / k * drop_over_square).sqrt();
        -self.gamma * rt * flow_over_w / (2.0 * self.volume * self.outside)
    }

    fn vessel(&self, pressure: f64) -> Vessel {
        let temperature = self.temperature * libm::pow(pressure / self.pressure, (self.gamma - 1.0) / self.gamma);
        Vessel { pressure, temperature, mass: pressure * self.volume / (self.r * temperature) }
    }
}
