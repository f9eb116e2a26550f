//! What a fuel is made of: petrol CH1.87 with ethanol and methanol in it, and the elements that follow.
//!
//! Water in the alcohols is not modelled: 4 % of it, as azeotropic ethanol has, takes 4 % of the heating value.

use serde::{Deserialize, Serialize};

use super::alcohol::{Alcohol, ETHANOL, METHANOL};
use super::fuel::{HEATING_VALUE_PETROL, STOICHIOMETRIC_PETROL, stoichiometric_ratio};
use super::gas::R_UNIVERSAL;

/// Hydrogen over carbon of petrol [-]. Source: the project's petrol, CH1.87.
pub const PETROL_HYDROGEN: f64 = 1.87;

/// Mass shares of the alcohols in a fuel; the rest is petrol CH1.87. Plain petrol is the default.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Blend {
    /// Ethanol, C2H6O [-].
    pub ethanol: f64,
    /// Methanol, CH4O [-].
    pub methanol: f64,
}

impl Blend {
    /// Plain petrol.
    pub const PETROL: Self = Self { ethanol: 0.0, methanol: 0.0 };
    /// Plain ethanol.
    pub const ETHANOL: Self = Self { ethanol: 1.0, methanol: 0.0 };
    /// Plain methanol.
    pub const METHANOL: Self = Self { ethanol: 0.0, methanol: 1.0 };

    /// From shares by volume [-] and the densities at one temperature [kg/m3] of petrol, ethanol and methanol; the volumes add up
    /// (a mixture of alcohol and petrol swells by 0.3 % at most, common practice).
    #[must_use]
    pub fn by_volume(ethanol: f64, methanol: f64, densities: [f64; 3]) -> Self {
        let masses = [(1.0 - ethanol - methanol) * densities[0], ethanol * densities[1], methanol * densities[2]];
        let total: f64 = masses.iter().sum();
        Self { ethanol: masses[1] / total, methanol: masses[2] / total }
    }

    /// Mass share of petrol [-].
    #[must_use]
    pub fn petrol(&self) -> f64 {
        1.0 - self.ethanol - self.methanol
    }

    /// Whether it is plain petrol.
    #[must_use]
    pub fn is_petrol(&self) -> bool {
        self.ethanol <= 0.0 && self.methanol <= 0.0
    }

    /// `petrol`, `ethanol` and `methanol` weighted by mass: exact for a heating value, a gas constant, a heat capacity.
    #[must_use]
    pub fn mean(&self, petrol: f64, ethanol: f64, methanol: f64) -> f64 {
        self.petrol() * petrol + self.ethanol * ethanol + self.methanol * methanol
    }

    /// Atoms of hydrogen and of oxygen to one of carbon [-].
    #[must_use]
    pub fn hydrogen_and_oxygen(&self) -> (f64, f64) {
        if self.is_petrol() {
            return (PETROL_HYDROGEN, 0.0);
        }
        // Each by its formula for one carbon: CH1.87, CH3O0.5, CH4O.
        let parts = [(self.petrol(), PETROL_HYDROGEN, 0.0), (self.ethanol, 3.0, 0.5), (self.methanol, 4.0, 1.0)];
        let carbon = |(share, h, o): &(f64, f64, f64)| share / (12.011 + 1.008 * h + 15.999 * o);
        let total: f64 = parts.iter().map(carbon).sum();
        let sum = |atoms: fn(&(f64, f64, f64)) -> f64| parts.iter().map(|p| carbon(p) * atoms(p)).sum::<f64>() / total;
        (sum(|p| p.1), sum(|p| p.2))
    }

    /// Stoichiometric air-fuel ratio by mass [-].
    #[must_use]
    pub fn stoichiometric(&self) -> f64 {
        if self.is_petrol() {
            return STOICHIOMETRIC_PETROL;
        }
        let (hydrogen, oxygen) = self.hydrogen_and_oxygen();
        stoichiometric_ratio(hydrogen, oxygen)
    }

    /// How freely the liquid evaporates into a gas of `t` [K], `p` [Pa] and gas constant `r` [J/(kg K)] that holds the mass share `vapour`
    /// of this fuel [-]: 0 when the gas is saturated, 1 into a dry gas.
    ///
    /// `1 - p_v/p_sat` for each alcohol by its mass share, as for a drop at the gas's temperature; petrol goes free. Not modelled: the higher
    /// vapour pressure that a little alcohol has in petrol.
    #[must_use]
    pub fn evaporation_drive(&self, t: f64, p: f64, r: f64, vapour: f64) -> f64 {
        if self.is_petrol() {
            return 1.0;
        }
        let drive = |share: f64, alcohol: &Alcohol| {
            let pressure = vapour * share * R_UNIVERSAL / (alcohol.vapour.molar_mass * r) * p;
            (1.0 - pressure / alcohol.vapour_pressure(t)).max(0.0)
        };
        self.mean(1.0, drive(self.ethanol, &ETHANOL), drive(self.methanol, &METHANOL))
    }

    /// Lower heating value of the liquid [J/kg].
    #[must_use]
    pub fn heating_value(&self) -> f64 {
        self.mean(HEATING_VALUE_PETROL, ETHANOL.heating_value, METHANOL.heating_value)
    }
}
