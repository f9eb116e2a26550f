//! Temperature and pressure of the charge from its energy and volume.
//!
//! The charge is burnt gas in equilibrium, with the excess air that belongs to it, and what has not burnt, all at one temperature:
//! `U = m_b u_b(T, p, lambda) + m_rest u(T)`, `p V = (m_b R_b + m_rest R) T`.

use super::charge::Charge;
use crate::media::burnt_gas::BurntGas;
use crate::media::gas::{GasModel, T_BOUNDS};

/// Step below which the temperature has converged [K].
const TOLERANCE: f64 = 1e-9;
/// Bound on the steps; a bisection of `T_BOUNDS` to the tolerance needs 43.
const MOST_STEPS: u32 = 60;

/// A charge of given masses in a given volume.
#[derive(Debug, Clone, Copy)]
pub struct Mixture<'a> {
    gas: &'a GasModel,
    burnt_gas: &'a BurntGas,
    /// Burnt gas with its excess air [kg].
    burnt: f64,
    /// The rest of the gas [kg], and the share of vapour in it [-].
    rest: f64,
    vapour: f64,
    volume: f64,
}

impl<'a> Mixture<'a> {
    /// `charge` in `volume` [m3]; a kilogram of burnt gas has `excess` [kg] of air with it.
    #[must_use]
    pub fn new(gas: &'a GasModel, burnt_gas: &'a BurntGas, charge: &Charge, excess: f64, volume: f64) -> Self {
        let burnt = (charge.burnt * (1.0 + excess)).min(charge.burnt + charge.air);
        let rest = charge.gas() - burnt;
        // Air that belongs to the burnt gas is in `burnt`; round-off may leave a trace below nothing.
        let rest = if rest > 1e-15 * charge.gas() { rest } else { 0.0 };
        let vapour = if rest > 0.0 { (charge.vapour / rest).min(1.0) } else { 0.0 };
        Self { gas, burnt_gas, burnt, rest, vapour, volume }
    }

    /// Pressure [Pa] at `t` [K]; `p` [Pa] is near it and says how far the gas dissociates.
    #[must_use]
    pub fn pressure(&self, t: f64, p: f64) -> f64 {
        (self.burnt * self.burnt_gas.at(t, p).r + self.rest * self.gas.r(0.0, self.vapour)) * t / self.volume
    }

    /// Temperature [K] at which the energy is `energy` [J], sought from `guess` [K]: Newton's method inside a bracket that starts as
    /// `T_BOUNDS`. An energy that is not a number gives not a number.
    #[must_use]
    pub fn temperature(&self, energy: f64, p: f64, guess: f64) -> f64 {
        if energy.is_nan() {
            return f64::NAN;
        }
        let (mut lo, mut hi) = T_BOUNDS;
        let r = self.gas.r(0.0, self.vapour);
        let mut t = if guess > lo && guess < hi { guess } else { 300.0 };
        for _ in 0..MOST_STEPS {
            let b = self.burnt_gas.at(t, p);
            let excess = self.burnt * b.u + self.rest * self.gas.internal_energy(t, 0.0, self.vapour) - energy;
            if excess > 0.0 {
                hi = t;
            } else {
                lo = t;
            }
            let slope = self.burnt * b.cv + self.rest * (self.gas.cp(t, 0.0, self.vapour) - r);
            let newton = t - excess / slope;
            let next = if newton > lo && newton < hi { newton } else { 0.5 * (lo + hi) };
            let step = (next - t).abs();
            t = next;
            if step < TOLERANCE {
                break;
            }
        }
        t
    }
}
