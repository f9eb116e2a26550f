//! Ethanol and methanol: the liquid, its evaporation and its heat.
//!
//! The constants come from tables of fuel properties; CoolProp stands against them in `tests/handbook/fuel.rs`, from -10 to 50
//! degrees Celsius.

use super::species::{self, Species};
use crate::numeric::root;

/// A pure alcohol.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alcohol {
    /// Its vapour.
    pub vapour: &'static Species,
    /// Density at 15 degrees Celsius [kg/m3].
    pub density_15: f64,
    /// Thermal expansion [1/K].
    expansion: f64,
    /// Kinematic viscosity at 20 degrees Celsius [m2/s] and its growth with 1/T [K].
    viscosity: (f64, f64),
    /// Latent heat [J/kg], the temperature it counts at [K], and its growth with temperature [J/(kg K)].
    latent: (f64, f64, f64),
    /// Lower heating value of the liquid [J/kg].
    pub heating_value: f64,
    /// Antoine's constants of the vapour pressure, mmHg and degrees Celsius.
    antoine: [f64; 3],
}

/// Ethanol.
///
/// Density: OIML R 22, alcoholometric tables (from memory). Viscosity 1.50 and 3.435 mm2/s at 20 and -20 degrees Celsius, latent
/// heat 921 kJ/kg: US DOE, *Properties of Fuels*. Heating value: enthalpies of formation, -277.6 kJ/mol for the liquid, -393.51 for
/// CO2, -241.83 for steam (handbook values, from memory); the DOE has 26.95 MJ/kg. Heat capacities of liquid and vapour, 2.44 and 1.42
/// kJ/(kg K), Antoine's constants: from memory.
pub const ETHANOL: Alcohol = Alcohol {
    vapour: &species::ETHANOL,
    density_15: 793.5,
    expansion: 1.08e-3,
    viscosity: (1.50e-6, 1_537.0),
    latent: (921.0e3, 298.15, 1_420.0 - 2_440.0),
    heating_value: 26.81e6,
    antoine: [8.204_17, 1_642.89, 230.3],
};

/// Methanol.
///
/// Density: 0.796 at 60 degrees Fahrenheit, viscosity 0.74 and 1.345 mm2/s at 20 and -20 degrees Celsius, latent heat 1177 kJ/kg: US
/// DOE, *Properties of Fuels*. Heating value: enthalpy of formation, -239.2 kJ/mol for the liquid (from memory), as for ethanol; the DOE has
/// 20.09 MJ/kg. Heat capacities of liquid and vapour, 2.53 and 1.38 kJ/(kg K), Antoine's constants: from memory.
pub const METHANOL: Alcohol = Alcohol {
    vapour: &species::METHANOL,
    density_15: 795.7,
    expansion: 1.19e-3,
    viscosity: (0.74e-6, 1_109.0),
    latent: (1_177.0e3, 293.15, 1_380.0 - 2_530.0),
    heating_value: 19.91e6,
    antoine: [8.080_97, 1_582.271, 239.726],
};

impl Alcohol {
    /// Density of the liquid [kg/m3] at `t` [K]: `rho15 exp(-alpha (T - 288.15))`.
    #[must_use]
    pub fn density(&self, t: f64) -> f64 {
        self.density_15 * libm::exp(-self.expansion * (t - 288.15))
    }

    /// Kinematic viscosity [m2/s] at `t` [K]: `ln nu` linear in `1/T` through the values at -20 and 20 degrees Celsius.
    #[must_use]
    pub fn viscosity(&self, t: f64) -> f64 {
        self.viscosity.0 * libm::exp(self.viscosity.1 * (1.0 / t - 1.0 / 293.15))
    }

    /// Latent heat of evaporation [J/kg] at `t` [K]: Kirchhoff's law with constant heat capacities.
    #[must_use]
    pub fn latent_heat(&self, t: f64) -> f64 {
        self.latent.0 + self.latent.2 * (t - self.latent.1)
    }

    /// Vapour pressure [Pa] at `t` [K]: `log10 p = A - B/(C + t)`. For -20 to 80 degrees Celsius.
    #[must_use]
    pub fn vapour_pressure(&self, t: f64) -> f64 {
        let [a, b, c] = self.antoine;
        133.322 * libm::exp(std::f64::consts::LN_10 * (a - b / (c + t - 273.15).max(1.0)))
    }

    /// Share of the fuel that evaporates in air of `t` [K] and `p` [Pa] until the air is saturated, at lambda 1 and without heat from walls
    /// [-]: `T' = T - f L/(AFR cp)`, `f / (f + AFR M/M_air) = p_sat(T')/p`. At most 1.
    ///
    /// Both sides are evaluated at the latent heat of `t`; liquid and air start at the same temperature.
    #[must_use]
    pub fn saturating_share(&self, t: f64, p: f64, stoichiometric: f64) -> f64 {
        let cooling = self.latent_heat(t) / (stoichiometric * AIR_HEAT_CAPACITY);
        let moles_of_air = stoichiometric * self.vapour.molar_mass / AIR_MOLAR_MASS;
        let room = |f: f64| self.vapour_pressure(t - f * cooling) / p - f / (f + moles_of_air);
        // The room falls with the share, from above nothing; above the boiling point all evaporates.
        if room(1.0) >= 0.0 { 1.0 } else { root::find(room, 0.0, 1.0, 1e-9).map_or(f64::NAN, |r| r.x) }
    }
}

/// Heat capacity of air [J/(kg K)].
const AIR_HEAT_CAPACITY: f64 = 1_005.0;
/// Molar mass of air [kg/kmol].
const AIR_MOLAR_MASS: f64 = 28.964_6;
