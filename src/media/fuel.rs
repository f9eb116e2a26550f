//! Liquid fuels: density, viscosity, heat, stoichiometry.

use serde::{Deserialize, Serialize};

/// A fuel as the circuits and the cylinder see it, at the temperature of the bowl.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fuel {
    /// What it is called in the report.
    pub name: String,
    /// Density at the bowl's temperature [kg/m3].
    pub density: f64,
    /// Kinematic viscosity at the bowl's temperature [m2/s].
    pub viscosity: f64,
    /// Lower heating value [J/kg], counted for the vapour: the figure of the liquid is taken, 0.8 % less.
    pub heating_value: f64,
    /// Latent heat of evaporation [J/kg].
    pub latent_heat: f64,
    /// Stoichiometric air-fuel ratio by mass [-].
    pub stoichiometric: f64,
    /// Gas constant of the vapour [J/(kg K)].
    pub vapour_gas_constant: f64,
    /// Temperature of the fuel in the bowl [K].
    pub temperature: f64,
}

/// Stoichiometric air-fuel ratio of petrol CH1.87 [-]. Source: balance with 20.946 % mol oxygen.
pub const STOICHIOMETRIC_PETROL: f64 = 14.604;

/// Mass of dry air over mass of fuel CHyOz for complete burning [-]:
/// `(1 + y/4 - z/2) / 0.20946 * 28.9646 / (12.011 + 1.008 y + 15.999 z)`.
///
/// Source: atom balance; oxygen 20.946 % by mole (ISO 2533).
#[must_use]
pub fn stoichiometric_ratio(hydrogen: f64, oxygen: f64) -> f64 {
    (1.0 + 0.25 * hydrogen - 0.5 * oxygen) / 0.209_46 * 28.964_6 / (12.011 + 1.008 * hydrogen + 15.999 * oxygen)
}

/// Density of petrol [kg/m3] at `t` [K] from its density at 15 degrees Celsius:
/// `alpha = 346.4228/rho15^2 + 0.4388/rho15`, `rho = rho15 exp(-alpha dT (1 + 0.8 alpha dT))`.
///
/// Source: API MPMS 11.1 / ASTM D1250, gasoline group (from memory). For 653 to 770 kg/m3.
#[must_use]
pub fn petrol_density(rho15: f64, t: f64) -> f64 {
    let alpha = 346.422_8 / (rho15 * rho15) + 0.438_8 / rho15;
    let dt = t - 288.15;
    rho15 * libm::exp(-alpha * dt * (1.0 + 0.8 * alpha * dt))
}

/// Kinematic viscosity of petrol [m2/s] at `t` [K]: `ln nu` linear in `1/T` through 0.78, 0.60 and
/// 0.48 mm2/s at 0, 20 and 40 degrees Celsius.
///
/// Source: US DOE, *Properties of Fuels*: 0.5 to 0.6 at 20, 0.8 to 1.0 at -20 degrees Celsius; this petrol
/// stands at the upper edge at 20 degrees.
#[must_use]
pub fn petrol_viscosity(t: f64) -> f64 {
    0.60e-6 * libm::exp(1_040.0 * (1.0 / t - 1.0 / 293.15))
}

impl Fuel {
    /// Petrol CH1.87 of `rho15` [kg/m3 at 15 degrees Celsius] in a bowl at `t` [K].
    ///
    /// Heating value 43.44 MJ/kg and latent heat 349 kJ/kg: US DOE, *Properties of Fuels*. Vapour: molar mass
    /// 110 kg/kmol (common practice).
    #[must_use]
    pub fn petrol(rho15: f64, t: f64) -> Self {
        Self {
            name: "petrol".into(),
            density: petrol_density(rho15, t),
            viscosity: petrol_viscosity(t),
            heating_value: 43.44e6,
            latent_heat: 349.0e3,
            stoichiometric: STOICHIOMETRIC_PETROL,
            vapour_gas_constant: 8_314.462 / 110.0,
            temperature: t,
        }
    }
}
