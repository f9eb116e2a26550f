//! The burn of one cycle: decided when the inlet valve shuts, carried out by a Wiebe function.

use super::charge::Charge;
use crate::hardware::engine::Combustion;
use crate::laws::{combustion, flame, wiebe};

/// Lambda between which the charge burns [-]; outside, the cycle runs unfired. Source: petrol vapour is ignitable by spark
/// between air-fuel ratios of about 10 and 18; widened for a stratified charge (common practice).
pub const IGNITABLE: (f64, f64) = (0.6, 1.5);
/// Lambda of the mixture whose burn duration is stated [-].
pub const REFERENCE_LAMBDA: f64 = 0.88;
/// Shortest and longest burn over that of the reference mixture [-]. Common practice, no source.
pub const STRETCH: (f64, f64) = (0.7, 3.0);
/// Unburnt temperature [K] and pressure [Pa] at which flame speeds are compared; only the ratio counts, and it depends
/// weakly on them. Source: 650 K and 15 atm, the middle of compression (common practice).
const COMPARED_AT: (f64, f64) = (650.0, 15.0 * 101_325.0);

/// The burn of one cycle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burn {
    /// Whether it fires.
    pub fired: bool,
    /// Start [rad after firing top centre].
    pub start: f64,
    /// Duration [rad].
    pub duration: f64,
    /// Share of the heating value that is released [-].
    pub efficiency: f64,
    /// Lambda of the whole charge [-], infinite without fuel.
    pub lambda: f64,
    /// Moist air that a kilogram of fuel takes [kg/kg].
    pub air_per_fuel: f64,
    /// Crank angle at which it was decided [rad after firing top centre]; past it the phase has not yet come round.
    decided: f64,
    /// Share burnt so far [-].
    done: f64,
}

impl Burn {
    /// No burn.
    #[must_use]
    pub fn none() -> Self {
        Self {
            fired: false,
            start: 0.0,
            duration: 1.0,
            efficiency: 0.0,
            lambda: f64::INFINITY,
            air_per_fuel: 0.0,
            decided: 0.0,
            done: 1.0,
        }
    }

    /// Decides the burn of the trapped `charge` at crank angle `phase` [rad] and `rpm`; `dry` is the dry share of the air, `stoichiometric` of the fuel.
    ///
    /// The spark follows the speed alone, as a centrifugal advance does; the duration follows lambda and residual gas. Rich:
    /// all air burns with all fuel; lean: the air that the fuel needs.
    #[must_use]
    pub fn plan(law: &Combustion, (phase, rpm): (f64, f64), charge: &Charge, dry: f64, stoichiometric: f64) -> Self {
        let fuel = charge.vapour + charge.liquid;
        let needed = fuel * stoichiometric / dry;
        let lambda = if needed > 0.0 { charge.air / needed } else { f64::INFINITY };
        if !(lambda > IGNITABLE.0 && lambda < IGNITABLE.1) {
            return Self { lambda, ..Self::none() };
        }
        let yd = charge.burnt / charge.gas();
        let (t, p) = COMPARED_AT;
        let ratio = flame::duration_ratio(1.0 / lambda, yd, 1.0 / REFERENCE_LAMBDA, 0.0, t, p);
        Self {
            fired: true,
            start: -law.spark(rpm),
            duration: law.duration * ratio.clamp(STRETCH.0, STRETCH.1),
            efficiency: combustion::efficiency(lambda),
            lambda,
            air_per_fuel: needed.min(charge.air) / fuel,
            decided: phase,
            done: 0.0,
        }
    }

    /// Share of the fuel still unburnt that burns up to crank angle `theta` [rad after firing top centre] [-]; a charge that
    /// leaves through an opening exhaust valve takes its unburnt fuel along.
    pub fn advance(&mut self, theta: f64) -> f64 {
        if !self.fired || self.done >= 1.0 {
            return 0.0;
        }
        let y = (theta - self.start) / self.duration;
        // An inlet valve that shuts before bottom centre decides a burn of the next turn.
        if y <= 0.0 || (self.decided > self.start + self.duration && theta >= self.decided) {
            return 0.0;
        }
        let x = if y >= 1.0 { 1.0 } else { wiebe::normalised(y, wiebe::A, wiebe::M) };
        let share = (x - self.done) / (1.0 - self.done);
        self.done = x;
        share
    }

    /// Whether burning has begun and the exhaust valve has not yet opened at `theta`.
    #[must_use]
    pub fn under_way(&self, theta: f64) -> bool {
        self.fired && theta > self.start
    }
}
