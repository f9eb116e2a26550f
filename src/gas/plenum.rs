//! A volume of gas at rest: air box, silencer.
//!
//! `dm = sum(dm_in)`, `dU = sum(h0 dm_in)`: adiabatic walls, everything mixed at once. Liquid fuel floats along and takes no
//! volume. Valid while the volume is short against the waves. Not modelled: heat through the walls, fuel that settles.
//!
//! A duct's end shows its state at half time. Set against the volume's state at the start of the step, the volume would answer
//! half a step late, as a spring that pushes behind its motion does: a tone of angular frequency `w` would then grow by
//! `pi w dt / 2` in a period, 1.5 % at 130 Hz in cells of 5 mm. Hence [`Plenum::vessel_at_half_time`], of second order; stable
//! while the volume is larger than the end cell of the duct on it.

use super::face::FaceFlow;
use super::trace::Vessel;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Last step of Newton's method for the temperature [K]: it leaves `cp'/(2 cv)` times the square, a part in 1e11 of it
/// at most.
const LAST_STEP: f64 = 3e-3;

/// Gas that enters in one step; negative when it leaves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Inflow {
    /// Gas [kg].
    pub mass: f64,
    /// What it is.
    pub composition: Composition,
    /// Its total enthalpy [J/kg].
    pub total_enthalpy: f64,
}

/// The gas in a volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plenum {
    /// Volume [m3].
    pub volume: f64,
    /// Gas [kg].
    pub gas: f64,
    /// Burnt gas among it [kg].
    pub burnt: f64,
    /// Vapour among it [kg].
    pub vapour: f64,
    /// Liquid fuel [kg].
    pub liquid: f64,
    /// Sensible internal energy [J].
    pub energy: f64,
    /// Temperature [K].
    pub temperature: f64,
    /// Pressure [Pa].
    pub pressure: f64,
    /// Pressure [Pa] and density [kg/m3] before the last step.
    before: (f64, f64),
}

impl Plenum {
    /// `volume` [m3] of gas at `p` [Pa], `t` [K].
    #[must_use]
    pub fn new(gas: &GasModel, volume: f64, p: f64, t: f64, y: Composition) -> Self {
        let mass = p * volume / (gas.r(y.burnt, y.vapour) * t);
        Self {
            volume,
            gas: mass,
            burnt: mass * y.burnt,
            vapour: mass * y.vapour,
            liquid: mass * y.liquid,
            energy: mass * gas.internal_energy(t, y.burnt, y.vapour),
            temperature: t,
            pressure: p,
            before: (p, mass / volume),
        }
    }

    /// Sets it to gas that is `warmer` by so much [K] at the same pressure and composition: a better guess of a slow state, not a step.
    pub fn heat_at_constant_pressure(&mut self, gas: &GasModel, warmer: f64) {
        let liquid = self.liquid;
        *self = Self::new(gas, self.volume, self.pressure, self.temperature + warmer, self.composition());
        self.liquid = liquid;
    }

    /// Mass fractions.
    #[must_use]
    pub fn composition(&self) -> Composition {
        Composition { burnt: self.burnt / self.gas, vapour: self.vapour / self.gas, liquid: self.liquid / self.gas }
    }

    /// As an opening sees it.
    #[must_use]
    pub fn vessel(&self, gas: &GasModel) -> Vessel {
        let y = self.composition();
        Vessel {
            p: self.pressure,
            rho: self.gas / self.volume,
            gamma: gas.gamma(self.temperature, y.burnt, y.vapour),
            composition: y,
        }
    }

    /// As a duct's end sees it, half a step ahead: the last step's ratios of pressure and density are drawn on, which keeps both
    /// positive. For steps that change little in length.
    #[must_use]
    pub fn vessel_at_half_time(&self, gas: &GasModel) -> Vessel {
        self.half_a_step_ahead(&self.vessel(gas))
    }

    /// The same from its [`Self::vessel`].
    #[must_use]
    pub fn half_a_step_ahead(&self, v: &Vessel) -> Vessel {
        let (p, rho) = self.before;
        Vessel { p: v.p * (v.p / p).sqrt(), rho: v.rho * (v.rho / rho).sqrt(), ..*v }
    }

    /// Enthalpy of its gas [J/kg].
    #[must_use]
    pub fn enthalpy(&self, gas: &GasModel) -> f64 {
        let y = self.composition();
        gas.enthalpy(self.temperature, y.burnt, y.vapour)
    }

    /// What leaves it through an opening that passes `mass` [kg].
    #[must_use]
    pub fn leaving(&self, gas: &GasModel, mass: f64) -> Inflow {
        Inflow { mass: -mass, composition: self.composition(), total_enthalpy: self.enthalpy(gas) }
    }

    /// What leaves it in `dt` [s] through a face whose upstream side it is: with the total enthalpy that the face was solved with,
    /// so that what lies downstream receives the energy that the volume gives.
    #[must_use]
    pub fn leaving_through(&self, gas: &GasModel, face: &FaceFlow, dt: f64) -> Inflow {
        let y = self.composition();
        let temperature = face.p0 / (face.rho0 * gas.r(y.burnt, y.vapour));
        let total_enthalpy = gas.enthalpy(temperature, y.burnt, y.vapour);
        Inflow { mass: -face.mass_flow * dt, composition: y, total_enthalpy }
    }

    /// Takes up what enters and leaves in one step.
    pub fn step(&mut self, gas: &GasModel, flows: &[Inflow]) {
        let (p, rho) = std::mem::replace(&mut self.before, (self.pressure, self.gas / self.volume));
        for f in flows {
            self.gas += f.mass;
            self.burnt += f.mass * f.composition.burnt;
            self.vapour += f.mass * f.composition.vapour;
            self.liquid += f.mass * f.composition.liquid;
            self.energy += f.mass * f.total_enthalpy;
        }
        let y = self.composition();
        let (u, r) = (self.energy / self.gas, gas.r(y.burnt, y.vapour));
        // The last step's change is drawn on.
        let guess = 2.0 * self.temperature - p / (rho * r);
        self.temperature = temperature(gas, u, (y.burnt, y.vapour, r), guess);
        self.pressure = self.gas * r * self.temperature / self.volume;
    }
}

/// Temperature [K] of the internal energy `u` [J/kg], near `guess` [K], of a gas of these shares of burnt gas and
/// vapour [-] and this gas constant: one or two steps of Newton's method for what a volume changes in a step, or the
/// search that is safe.
fn temperature(gas: &GasModel, u: f64, (burnt, vapour, r): (f64, f64, f64), guess: f64) -> f64 {
    let mut t = guess;
    for _ in 0..2 {
        let cp = gas.cp(t, burnt, vapour);
        let step = (u + r * t - gas.enthalpy_at(t, burnt, vapour, cp)) / (cp - r);
        t += step;
        if step.abs() < LAST_STEP {
            return t;
        }
    }
    gas.temperature_from_internal_energy(u, burnt, vapour, guess)
}
