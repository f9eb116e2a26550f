//! A stream of known mass flow and total state: its static state at a given area.

use crate::numeric::power::{NEAR, near_one, power};

/// Step of the speed over the total speed of sound with which the search ends, over `1 - M^2` [-]: it leaves about its
/// cube.
const TOLERANCE: f64 = 1e-4;
/// Relative change of the base for which four terms of a power's series are enough, for exponents up to 10 [-].
const VERY_NEAR: f64 = 1e-4;
/// Most steps of the search.
const MOST_STEPS: u32 = 30;

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
    /// Solved for `w = u/c0` from `mdot/(A rho0 c0) = w (1 - (g-1)/2 w^2)^(1/(g-1))`, which is concave and rises up to
    /// the sonic `w* = sqrt(2/(g+1))`, by Halley's method from below the root; a flow that the area cannot pass gives
    /// the sonic state. Source: isentropic relations, exact.
    #[must_use]
    pub fn at_area(&self, area: f64) -> Local {
        self.at_area_near(area, 0.0)
    }

    /// The same sought from a density `near` the local one [kg/m3], that of the last step; nothing or less is no guess.
    #[must_use]
    pub fn at_area_near(&self, area: f64, near: f64) -> Local {
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
        let least = (target * (1.0 + 0.5 * target * target)).min(sonic);
        let guess = target * self.rho0 / near;
        let mut w = if near > 0.0 && guess > least && guess < sonic { guess } else { least };
        let mut b = 1.0 - k * w * w;
        let mut d = changed(1.0, 1.0, b, e);
        for _ in 0..MOST_STEPS {
            let ratio = w * w / b;
            let slope = d * (1.0 - ratio);
            if slope < 1e-6 {
                break;
            }
            let newton = (target - w * d) / slope;
            // Half the second derivative over the first, times that step.
            let bend = 0.5 * newton * w * ((2.0 * k - 1.0) * ratio + 3.0) / (b * (1.0 - ratio));
            let step = if bend.abs() < 0.5 { newton / (1.0 - bend) } else { newton };
            w = (w + step).max(least).min(sonic);
            let before = b;
            b = 1.0 - k * w * w;
            d = changed(d, before, b, e);
            if step.abs() < TOLERANCE * (1.0 - ratio) || w >= sonic {
                break;
            }
        }
        let rho = self.rho0 * d;
        Local { p: self.p0 * d * b, rho, u: w * c0 }
    }
}

/// `to^e` from `power = from^e`.
fn changed(power_from: f64, from: f64, to: f64, e: f64) -> f64 {
    let d = (to - from) / from;
    if d.abs() < VERY_NEAR {
        // The binomial series to its fourth power, within 1e-15.
        power_from
            * (1.0 + e * d * (1.0 + (e - 1.0) / 2.0 * d * (1.0 + (e - 2.0) / 3.0 * d * (1.0 + (e - 3.0) / 4.0 * d))))
    } else if d.abs() < NEAR {
        power_from * near_one(d, e)
    } else {
        power(to, e)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Exact: the flow function of a known Mach number, at speeds from next to nothing to sound.
    #[test]
    fn the_state_is_the_one_that_passes_the_flow_from_any_guess() {
        let (p0, rho0, area): (f64, f64, f64) = (1e5, 1.2, 8e-4);
        let mut worst: f64 = 0.0;
        for gamma in [1.12_f64, 1.3, 1.4, 1.67] {
            for mach in [1e-6_f64, 0.01, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8, 0.95, 0.99] {
                let b = 1.0 + 0.5 * (gamma - 1.0) * mach * mach;
                let (p, rho) = (p0 * libm::pow(b, -gamma / (gamma - 1.0)), rho0 * libm::pow(b, -1.0 / (gamma - 1.0)));
                let u = mach * (gamma * p / rho).sqrt();
                let stream = Stream { p0, rho0, gamma, mass_flow: rho * u * area };
                for near in [0.0, 0.5 * rho0, 0.999 * rho, rho, 1.001 * rho, 2.0 * rho0, f64::NAN] {
                    let got = stream.at_area_near(area, near);
                    let off = (got.p / p - 1.0).abs().max((got.rho / rho - 1.0).abs()).max((got.u / u - 1.0).abs());
                    // The slope that the error of the flow is divided by goes with 1 - M^2.
                    worst = worst.max(off * (1.0 - mach * mach));
                }
            }
            let stream = Stream { p0, rho0, gamma, mass_flow: 1.0 };
            let sonic = stream.at_area_near(area, rho0);
            assert!((sonic.u * sonic.u * sonic.rho / (gamma * sonic.p) - 1.0).abs() < 1e-12, "{sonic:?}");
        }
        assert!(worst < 2e-11, "{worst:e}");
    }
}
