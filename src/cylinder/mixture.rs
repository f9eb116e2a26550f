//! Temperature and pressure of the charge from its energy and volume.
//!
//! The charge is burnt gas in equilibrium, with the excess air that belongs to it, and what has not burnt, all at one
//! temperature: `U = m_b u_b(T, p, lambda) + m_rest u(T)`, `p V = (m_b R_b + m_rest R) T`. Where gas does not
//! dissociate it is all of one kind.

use super::charge::Charge;
use crate::media::burnt_gas::{BurntGas, BurntState};
use crate::media::gas::{GasModel, T_BOUNDS};

/// Step below which the temperature has converged when it is sought by itself [K].
const TOLERANCE: f64 = 1e-9;
/// Bound on those steps; a bisection of `T_BOUNDS` to the tolerance needs 43.
const MOST_STEPS: u32 = 60;
/// Steps of temperature [K] and of pressure, over itself [-], with which the joint search has converged: Newton's
/// method leaves `cv'/(2 cv)` times the square, with `cv'/cv` below 1e-3 per kelvin a part in 1e12.
const JOINT_TOLERANCE: (f64, f64) = (1e-3, 1e-5);
/// Most steps of the joint search; two are usual.
const MOST_JOINT_STEPS: u32 = 8;
/// Most repeats of the implicit work when temperature and pressure are sought in turn; each gains three digits.
const WORK_REPEATS: usize = 12;
/// Relative change of pressure after which another repeat changes the work by less than a part in 1e12 [-].
const WORK_TOLERANCE: f64 = 1e-9;

/// A charge of given masses in a given volume.
#[derive(Debug, Clone, Copy)]
pub struct Mixture<'a> {
    gas: &'a GasModel,
    burnt_gas: &'a BurntGas,
    /// Burnt gas with its excess air, where gas dissociates [kg].
    burnt: f64,
    /// The rest of the gas [kg], and the shares of burnt gas and of vapour in it [-].
    rest: f64,
    shares: (f64, f64),
    /// Gas constant of the rest [J/(kg K)].
    r: f64,
    volume: f64,
}

/// A piston's step: the energy of the charge before the work [J], the pressure that the step begins with [Pa], the
/// growth of the volume [m3].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expansion {
    /// Energy before the work [J].
    pub energy: f64,
    /// Pressure that the step begins with [Pa].
    pub pressure: f64,
    /// Growth of the volume [m3].
    pub growth: f64,
}

impl Expansion {
    /// Work [J] of a step that ends at `pressure` [Pa].
    #[must_use]
    pub fn work(&self, pressure: f64) -> f64 {
        0.5 * (self.pressure + pressure) * self.growth
    }
}

/// Energy of a mixture [J] and its growth with temperature [J/K], and its gas constant times mass [J/K].
struct Whole {
    energy: f64,
    cv: f64,
    mr: f64,
    /// The burnt gas alone.
    burnt: BurntState,
}

impl<'a> Mixture<'a> {
    /// `charge` in `volume` [m3]; a kilogram of burnt gas has `excess` [kg] of air with it.
    #[must_use]
    pub fn new(gas: &'a GasModel, burnt_gas: &'a BurntGas, charge: &Charge, excess: f64, volume: f64) -> Self {
        let all = charge.gas();
        let (burnt, rest, shares) = if gas.dissociates() && charge.burnt > 0.0 {
            let burnt = (charge.burnt * (1.0 + excess)).min(charge.burnt + charge.air);
            let rest = all - burnt;
            // Air that belongs to the burnt gas is in `burnt`; round-off may leave a trace below nothing.
            let rest = if rest > 1e-15 * all { rest } else { 0.0 };
            (burnt, rest, (0.0, if rest > 0.0 { (charge.vapour / rest).min(1.0) } else { 0.0 }))
        } else {
            (0.0, all, (charge.burnt / all, charge.vapour / all))
        };
        Self { gas, burnt_gas, burnt, rest, shares, r: gas.r(shares.0, shares.1), volume }
    }

    fn at(&self, t: f64, p: f64) -> Whole {
        let (mut energy, mut cv, mut mr) = (0.0, 0.0, 0.0);
        if self.rest > 0.0 {
            let (yb, yv) = self.shares;
            let cp = self.gas.cp(t, yb, yv);
            energy = self.rest * (self.gas.enthalpy_at(t, yb, yv, cp) - self.r * t);
            cv = self.rest * (cp - self.r);
            mr = self.rest * self.r;
        }
        let burnt = if self.burnt > 0.0 { self.burnt_gas.at(t, p) } else { BurntState::default() };
        Whole {
            energy: energy + self.burnt * burnt.u,
            cv: cv + self.burnt * burnt.cv,
            mr: mr + self.burnt * burnt.r,
            burnt,
        }
    }

    /// Pressure [Pa] at `t` [K]; `p` [Pa] is near it and says how far the gas dissociates.
    #[must_use]
    pub fn pressure(&self, t: f64, p: f64) -> f64 {
        self.at(t, p).mr * t / self.volume
    }

    /// Temperature [K] and pressure [Pa] after a step `x` of the piston to this volume, sought from `guess`: Newton's
    /// method for both at once,
    ///
    /// `U(T, p) + W(p) = E`, `m R(T, p) T / V = p`,
    ///
    /// and where it goes astray [`Self::in_turn`]. An energy that is not a number gives not a number.
    #[must_use]
    pub fn after(&self, x: &Expansion, guess: (f64, f64)) -> (f64, f64) {
        let (mut t, mut p) = guess;
        let half = 0.5 * x.growth;
        for _ in 0..MOST_JOINT_STEPS {
            if !(t > T_BOUNDS.0 && t < T_BOUNDS.1 && p > 0.0) {
                break;
            }
            let w = self.at(t, p);
            let b = &w.burnt;
            let excess = w.energy + x.work(p) - x.energy;
            let miss = w.mr * t / self.volume - p;
            // Slopes of both by temperature and by pressure.
            let by_p = self.burnt * b.u_by_log_p / p + half;
            let grows = (w.mr + self.burnt * b.r_by_t * t) / self.volume;
            let stiff = self.burnt * b.r_by_log_p * t / (self.volume * p) - 1.0;
            let det = w.cv * stiff - by_p * grows;
            let dt = (by_p * miss - stiff * excess) / det;
            let dp = (grows * excess - w.cv * miss) / det;
            t += dt;
            p += dp;
            if dt.abs() <= JOINT_TOLERANCE.0 && dp.abs() <= JOINT_TOLERANCE.1 * p {
                return (t, p);
            }
        }
        self.in_turn(x, guess)
    }

    /// The same, temperature and pressure sought in turn: slow, and safe from any guess.
    #[must_use]
    pub fn in_turn(&self, x: &Expansion, guess: (f64, f64)) -> (f64, f64) {
        let (mut t, mut p) = (guess.0, if guess.1 > 0.0 { guess.1 } else { x.pressure });
        for _ in 0..WORK_REPEATS {
            t = self.temperature(x.energy - x.work(p), p, t);
            let next = self.pressure(t, p);
            let before = std::mem::replace(&mut p, next);
            if (p - before).abs() <= WORK_TOLERANCE * p {
                break;
            }
        }
        (t, p)
    }

    /// Temperature [K] at which the energy is `energy` [J], sought from `guess` [K]: Newton's method inside a bracket that starts as
    /// `T_BOUNDS`. An energy that is not a number gives not a number.
    #[must_use]
    pub fn temperature(&self, energy: f64, p: f64, guess: f64) -> f64 {
        if energy.is_nan() {
            return f64::NAN;
        }
        let (mut lo, mut hi) = T_BOUNDS;
        let mut t = if guess > lo && guess < hi { guess } else { 300.0 };
        for _ in 0..MOST_STEPS {
            let w = self.at(t, p);
            let excess = w.energy - energy;
            if excess > 0.0 {
                hi = t;
            } else {
                lo = t;
            }
            let newton = t - excess / w.cv;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::media::atmosphere::FreeAir;
    use crate::media::blend::Blend;
    use crate::media::fuel::Fuel;

    // Independent: both equations themselves, and the search in turn, which has a bracket. From near and from far.
    #[test]
    fn temperature_and_pressure_together_meet_both_equations_from_any_guess() {
        let air = FreeAir { pressure: 101_325.0, temperature: 288.15, relative_humidity: 0.5 };
        let real = GasModel::new(&air, &Fuel::petrol(745.0, 293.15));
        let perfect = GasModel::constant(287.0, 1.4);
        let burnt_gas = BurntGas::new(&Blend::PETROL, 0.9);
        let (volume, mut worst): (f64, [f64; 3]) = (7e-5, [0.0; 3]);
        for gas in [&real, &perfect] {
            for (burnt, t, p) in [(0.0, 700.0, 12e5), (0.3, 1900.0, 35e5), (1.0, 2700.0, 60e5), (0.9, 900.0, 0.7e5)] {
                let mut charge = Charge::of_air(gas, p, t, volume);
                (charge.burnt, charge.vapour) = (burnt * charge.air, 0.06 * (1.0 - burnt) * charge.air);
                charge.air *= 1.0 - burnt;
                let mixture = Mixture::new(gas, &burnt_gas, &charge, 0.0, volume);
                let p = mixture.pressure(t, p);
                let (growth, energy) = (1e-7, mixture.at(t, p).energy);
                let x = Expansion { energy, pressure: 1.002 * p, growth };
                for guess in
                    [(1.001 * t, 0.999 * p), (t + 200.0, 0.7 * p), (60.0, 1e3), (4900.0, 1e8), (-1.0, f64::NAN)]
                {
                    let (t, p) = mixture.after(&x, guess);
                    let w = mixture.at(t, p);
                    worst[0] = worst[0].max(((w.energy + x.work(p)) / energy - 1.0).abs());
                    worst[1] = worst[1].max((w.mr * t / (p * volume) - 1.0).abs());
                    worst[2] = worst[2].max((mixture.in_turn(&x, (t, p)).0 / t - 1.0).abs());
                }
            }
            let nan = Expansion { energy: f64::NAN, pressure: 1e5, growth: 1e-7 };
            let mixture = Mixture::new(gas, &burnt_gas, &Charge::of_air(gas, 1e5, 300.0, volume), 0.0, volume);
            assert!(mixture.after(&nan, (300.0, 1e5)).0.is_nan());
        }
        assert!(worst.iter().all(|w| *w < 1e-9), "{worst:?}");
    }
}
