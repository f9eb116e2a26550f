//! What was blown out of the mouth and waits in front of it.
//!
//! Gas that leaves the mouth stays as a cloud of the mass that left, mixed; the first gas drawn back is the cloud, until
//! it is used up. A stated share of its fuel does not come back. Common practice, no source.

use crate::media::composition::Composition;

/// The cloud in front of the mouth.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cloud {
    /// Gas [kg].
    pub gas: f64,
    /// Burnt gas among it [kg].
    pub burnt: f64,
    /// Vapour among it [kg].
    pub vapour: f64,
    /// Liquid fuel it carries [kg].
    pub liquid: f64,
    /// Mass times temperature [kg K].
    heat: f64,
}

impl Cloud {
    /// Mass fractions, those of free air when empty.
    #[must_use]
    pub fn composition(&self) -> Composition {
        if self.gas <= 0.0 {
            return Composition::default();
        }
        Composition { burnt: self.burnt / self.gas, vapour: self.vapour / self.gas, liquid: self.liquid / self.gas }
    }

    /// Temperature [K], `otherwise` when empty.
    #[must_use]
    pub fn temperature(&self, otherwise: f64) -> f64 {
        if self.gas > 0.0 { self.heat / self.gas } else { otherwise }
    }

    /// Fuel in it [kg].
    #[must_use]
    pub fn fuel(&self) -> f64 {
        self.vapour + self.liquid
    }

    /// Adds `mass` [kg] of `y` at `t` [K]; `lost` [-] of its fuel drifts away. Returns fuel blown out and fuel lost [kg].
    pub fn add(&mut self, mass: f64, y: Composition, t: f64, lost: f64) -> (f64, f64) {
        let keep = 1.0 - lost;
        let gone_vapour = lost * mass * y.vapour;
        self.gas += mass - gone_vapour;
        self.burnt += mass * y.burnt;
        self.vapour += keep * mass * y.vapour;
        self.liquid += keep * mass * y.liquid;
        self.heat += (mass - gone_vapour) * t;
        let fuel = mass * (y.vapour + y.liquid);
        (fuel, lost * fuel)
    }

    /// Draws `mass` [kg] back; what the cloud lacks is free air. Returns the composition drawn and the free air in it [kg].
    pub fn draw(&mut self, mass: f64) -> (Composition, f64) {
        let taken = mass.min(self.gas);
        if taken <= 0.0 {
            return (Composition::default(), mass);
        }
        let share = taken / self.gas;
        let out = Composition {
            burnt: share * self.burnt / mass,
            vapour: share * self.vapour / mass,
            liquid: share * self.liquid / mass,
        };
        if share >= 1.0 {
            *self = Self::default();
        } else {
            let left = 1.0 - share;
            self.gas *= left;
            self.burnt *= left;
            self.vapour *= left;
            self.liquid *= left;
            self.heat *= left;
        }
        (out, mass - taken)
    }
}
