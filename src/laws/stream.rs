//! A stream of known mass flow and total state: its static state at a given area.

use crate::numeric::power::power;

/// Total state of a stream and its gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stream {
    /// Total pressure [Pa].
    pub p0: f64,
    /// Total density [kg/m3].
    pub rho0: f64,
    /// Ratio of specific heats [-].
    pub gamma: f64,
    /// Mass flow along the stream, 0 or more [kg/s].
    pub mass_flow: f64,
}

/// Static state of a stream at one area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Local {
    /// Static pressure [Pa].
    pub p: f64,
    /// Density [kg/m3].
    pub rho: f64,
    /// Speed along the stream [m/s].
    pub u: f64,
}

impl Local {
    /// Dynamic head `rho u^2 / 2` [Pa].
    #[must_use]
    pub fn head(&self) -> f64 {
        0.5 * self.rho * self.u * self.u
    }
}

impl Stream {
    /// Static state where the stream fills `area` [m2], subsonic branch of
    /// `mdot = A rho0 c0 M (1 + (g-1)/2 M^2)^(-(g+1)/(2(g-1)))`.
    ///
    /// Solved for `w = u/c0` from `mdot/(A rho0 c0) = w (1 - (g-1)/2 w^2)^(1/(g-1))`, monotone up to the sonic
    /// `w* = sqrt(2/(g+1))`, by Newton from below (the left side is concave, so a step cannot overshoot); a flow that the area cannot
    /// pass gives the sonic state. Source: isentropic relations, exact.
    #[must_use]
    pub fn at_area(&self, area: f64) -> Local {
        if self.mass_flow <= 0.0 {
            return Local { p: self.p0, rho: self.rho0, u: 0.0 };
        }
        let g = self.gamma;
        let c0 = (g * self.p0 / self.rho0).sqrt();
        let target = self.mass_flow / (area * self.rho0 * c0);
        let e = 1.0 / (g - 1.0);
        let k = 0.5 * (g - 1.0);
        let sonic = (2.0 / (g + 1.0)).sqrt();
        // First terms of the inverse series, below the root.
        let start = target * (1.0 + 0.5 * target * target);
        let mut w = if start < sonic { start } else { sonic };
        for _ in 0..30 {
            let b = 1.0 - k * w * w;
            let d = power(b, e);
            let slope = d * (1.0 - w * w / b);
            if slope < 1e-6 {
                break;
            }
            let step = (target - w * d) / slope;
            w += step;
            if w >= sonic {
                w = sonic;
                break;
            }
            if step.abs() < 1e-11 {
                break;
            }
        }
        let b = 1.0 - k * w * w;
        let rho = self.rho0 * power(b, e);
        Local { p: self.p0 * rho / self.rho0 * b, rho, u: w * c0 }
    }
}
