//! The burn of one cycle: decided when the inlet valve shuts, carried out by a Wiebe function.

use super::charge::Charge;
use crate::hardware::crank::Crank;
use crate::hardware::engine::{Combustion, Spark};
use crate::laws::flame::{self, Conditions};
use crate::laws::{combustion, wiebe};
use crate::media::fuel::Fuel;

/// Lambda between which the charge burns [-]; outside, the cycle runs unfired. Source: petrol vapour is ignitable by spark
/// between air-fuel ratios of about 10 and 18; widened for a stratified charge (common practice). Alcohols are taken alike; they
/// burn richer than this (common practice).
pub const IGNITABLE: (f64, f64) = (0.6, 1.5);
/// Mass share of residual gas above which a charge of lambda 1 or richer does not fire [-]; it falls to nothing at the lean limit.
/// Common practice, no source: engines stand 20 to 30 % of dilution, a rough idle more.
pub const MOST_RESIDUAL: f64 = 0.38;
/// Lambda of the mixture whose burn duration is stated, and that the spark for best torque is set by [-].
pub const REFERENCE_LAMBDA: f64 = 0.88;
/// Conditions of the stated duration: no residual gas, the unburnt charge at the spark at full throttle, a mean piston speed in
/// the middle of the range. Common practice.
const REFERENCE: Conditions =
    Conditions { phi: 1.0 / REFERENCE_LAMBDA, residual: 0.0, t: 650.0, p: 12e5, piston_speed: 12.0 };
/// Shortest and longest burn over that of the reference [-]. Common practice, no source.
pub const STRETCH: (f64, f64) = (0.6, 3.0);
/// Polytropic exponent of the charge between inlet closing and spark [-]. Common practice: 1.30 to 1.35.
const COMPRESSION: f64 = 1.32;
/// Crank angle at which half has burnt when torque is best [rad after firing top centre]. Source: about 10 degrees, Heywood 1988,
/// sec. 9.2 (from memory).
const HALF_BURNT: f64 = 10.0 * std::f64::consts::PI / 180.0;
/// Spark that the search for best torque starts from and its bounds [rad before firing top centre]. Common practice.
const BEST_SPARK: (f64, f64, f64) = (0.45, 0.0, 1.05);

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

    /// Decides the burn of the trapped `charge` in `trapped_volume` [m3] at crank angle `phase` [rad] and `rpm`; `dry` is the dry share of
    /// the air.
    ///
    /// Duration: lambda, residual gas, piston speed, pressure and temperature at the spark ([`flame::duration_over`]). Rich:
    /// all air burns with all fuel; lean: the air that the fuel needs.
    #[must_use]
    pub fn plan(
        law: &Combustion,
        crank: &Crank,
        (phase, rpm): (f64, f64),
        (charge, trapped_volume): (&Charge, f64),
        (dry, fuel): (f64, &Fuel),
    ) -> Self {
        let mass = charge.vapour + charge.liquid;
        let needed = mass * fuel.stoichiometric / dry;
        let lambda = if needed > 0.0 { charge.air / needed } else { f64::INFINITY };
        let residual = charge.burnt / charge.gas();
        if !fires(lambda, residual) {
            return Self { lambda, ..Self::none() };
        }
        let duration = |lambda: f64, spark: f64| {
            let squeeze = trapped_volume / crank.volume(-spark);
            let c = Conditions {
                phi: 1.0 / lambda,
                residual,
                t: charge.temperature * libm::pow(squeeze, COMPRESSION - 1.0),
                p: charge.pressure * libm::pow(squeeze, COMPRESSION),
                piston_speed: crank.mean_piston_speed(rpm),
            };
            law.duration * flame::duration_over(&fuel.blend, &c, &REFERENCE).clamp(STRETCH.0, STRETCH.1)
        };
        let spark = match law.spark {
            Spark::Advance { slow, full, slow_until, full_from } => {
                slow + ((rpm - slow_until) / (full_from - slow_until)).clamp(0.0, 1.0) * (full - slow)
            }
            Spark::BestTorque => {
                let half = wiebe::normalised_position(0.5, wiebe::A, wiebe::M);
                let (first, least, most) = BEST_SPARK;
                // The state at the spark depends on the spark, weakly.
                (0..3)
                    .fold(first, |spark, _| (half * duration(REFERENCE_LAMBDA, spark) - HALF_BURNT).clamp(least, most))
            }
        };
        Self {
            fired: true,
            start: -spark,
            duration: duration(lambda, spark),
            efficiency: combustion::efficiency(&fuel.blend, lambda),
            lambda,
            air_per_fuel: needed.min(charge.air) / mass,
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

/// Whether a charge of `lambda` [-] with the mass share `residual` [-] of burnt gas burns.
#[must_use]
pub fn fires(lambda: f64, residual: f64) -> bool {
    let lean = ((IGNITABLE.1 - lambda) / (IGNITABLE.1 - 1.0)).min(1.0);
    lambda > IGNITABLE.0 && lambda < IGNITABLE.1 && residual < MOST_RESIDUAL * lean
}
