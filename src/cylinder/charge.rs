//! What is in the cylinder, and what crosses a valve.

use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Masses and energy of the charge, one zone. Liquid fuel takes no volume and exerts no pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charge {
    /// Moist air [kg].
    pub air: f64,
    /// Burnt gas [kg].
    pub burnt: f64,
    /// Fuel vapour [kg].
    pub vapour: f64,
    /// Liquid fuel [kg].
    pub liquid: f64,
    /// Moist air that came through the inlet valve since it opened, net of what went back or out [kg].
    pub fresh_air: f64,
    /// Fuel that came through the inlet valve since it opened, net [kg].
    pub fresh_fuel: f64,
    /// Sensible internal energy of the gas [J].
    pub energy: f64,
    /// Temperature [K].
    pub temperature: f64,
    /// Pressure [Pa].
    pub pressure: f64,
}

impl Charge {
    /// Air at `p` [Pa], `t` [K] in `volume` [m3].
    #[must_use]
    pub fn of_air(gas: &GasModel, p: f64, t: f64, volume: f64) -> Self {
        let air = p * volume / (gas.r(0.0, 0.0) * t);
        Self {
            air,
            burnt: 0.0,
            vapour: 0.0,
            liquid: 0.0,
            fresh_air: 0.0,
            fresh_fuel: 0.0,
            energy: air * gas.internal_energy(t, 0.0, 0.0),
            temperature: t,
            pressure: p,
        }
    }

    /// Mass of gas [kg].
    #[must_use]
    pub fn gas(&self) -> f64 {
        self.air + self.burnt + self.vapour
    }

    /// Enthalpy [J/kg] of its gas in `volume` [m3]: `(U + p V)/m`.
    #[must_use]
    pub fn enthalpy(&self, volume: f64) -> f64 {
        (self.energy + self.pressure * volume) / self.gas()
    }

    /// Mass fractions.
    #[must_use]
    pub fn composition(&self) -> Composition {
        let m = self.gas();
        Composition { burnt: self.burnt / m, vapour: self.vapour / m, liquid: self.liquid / m }
    }
}

/// What crosses a valve in one step, into the cylinder positive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ValveFlow {
    /// Gas [kg].
    pub gas: f64,
    /// Burnt gas among it [kg].
    pub burnt: f64,
    /// Vapour among it [kg].
    pub vapour: f64,
    /// Liquid carried [kg].
    pub liquid: f64,
    /// Total enthalpy [J].
    pub enthalpy: f64,
}

impl ValveFlow {
    /// `mass` [kg, signed] of a gas with `total_enthalpy` [J/kg].
    #[must_use]
    pub fn new(mass: f64, y: Composition, total_enthalpy: f64) -> Self {
        Self {
            gas: mass,
            burnt: mass * y.burnt,
            vapour: mass * y.vapour,
            liquid: mass * y.liquid,
            enthalpy: mass * total_enthalpy,
        }
    }

    /// Moist air among it [kg].
    #[must_use]
    pub fn air(&self) -> f64 {
        self.gas - self.burnt - self.vapour
    }
}
