//! Liquid fuels: density, viscosity, heat, stoichiometry.

use serde::{Deserialize, Serialize};

use super::alcohol::{ETHANOL, METHANOL};
use super::blend::Blend;
use super::gas::R_UNIVERSAL;

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
    /// What it is made of: the elements, and with them burnt gas and flame, follow.
    #[serde(default, skip_serializing_if = "Blend::is_petrol")]
    pub blend: Blend,
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

/// Lower heating value of petrol, liquid [J/kg]. Source: US DOE, *Properties of Fuels*.
pub const HEATING_VALUE_PETROL: f64 = 43.44e6;
/// Latent heat of petrol [J/kg]. Source: US DOE, *Properties of Fuels*, about 150 Btu/lb; NBS Misc. Pub. 97 gives 332 kJ/kg.
pub const LATENT_HEAT_PETROL: f64 = 349.0e3;
/// Molar mass of petrol vapour [kg/kmol]. Common practice.
const MOLAR_MASS_PETROL: f64 = 110.0;

impl Fuel {
    /// Petrol CH1.87 of `rho15` [kg/m3 at 15 degrees Celsius] in a bowl at `t` [K].
    #[must_use]
    pub fn petrol(rho15: f64, t: f64) -> Self {
        Self {
            name: "petrol".into(),
            density: petrol_density(rho15, t),
            viscosity: petrol_viscosity(t),
            heating_value: HEATING_VALUE_PETROL,
            latent_heat: LATENT_HEAT_PETROL,
            stoichiometric: STOICHIOMETRIC_PETROL,
            vapour_gas_constant: 8_314.462 / MOLAR_MASS_PETROL,
            temperature: t,
            blend: Blend::PETROL,
        }
    }

    /// Alcohols in petrol of `rho15` [kg/m3 at 15 degrees Celsius], `ethanol` and `methanol` their shares by volume at 15 degrees [-],
    /// in a bowl at `t` [K]. Without alcohol it is [`Fuel::petrol`].
    ///
    /// Density: volumes add up. Viscosity: `ln nu` weighted by volume (Arrhenius' rule for mixtures; common practice, +-10 % in the middle
    /// of the range). Heating value, latent heat and the vapour's gas constant: weighted by mass, so the vapour has the composition of the
    /// liquid; from a real blend the petrol's light ends evaporate first.
    #[must_use]
    pub fn blended(name: &str, rho15: f64, (ethanol, methanol): (f64, f64), t: f64) -> Self {
        let blend = Blend::by_volume(ethanol, methanol, [rho15, ETHANOL.density_15, METHANOL.density_15]);
        if blend.is_petrol() {
            return Self { name: name.into(), ..Self::petrol(rho15, t) };
        }
        let ln_viscosity = (1.0 - ethanol - methanol) * libm::log(petrol_viscosity(t))
            + ethanol * libm::log(ETHANOL.viscosity(t))
            + methanol * libm::log(METHANOL.viscosity(t));
        let volume = blend.mean(1.0 / petrol_density(rho15, t), 1.0 / ETHANOL.density(t), 1.0 / METHANOL.density(t));
        let moles =
            blend.mean(1.0 / MOLAR_MASS_PETROL, 1.0 / ETHANOL.vapour.molar_mass, 1.0 / METHANOL.vapour.molar_mass);
        Self {
            name: name.into(),
            density: 1.0 / volume,
            viscosity: libm::exp(ln_viscosity),
            heating_value: blend.heating_value(),
            latent_heat: blend.mean(LATENT_HEAT_PETROL, ETHANOL.latent_heat(t), METHANOL.latent_heat(t)),
            stoichiometric: blend.stoichiometric(),
            vapour_gas_constant: R_UNIVERSAL * moles,
            temperature: t,
            blend,
        }
    }
}
