//! The free air: standard atmosphere, humidity, density.

use serde::{Deserialize, Serialize};

use super::gas::R_DRY_AIR;

/// The state of the air around the machine.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FreeAir {
    /// Station pressure [Pa, absolute], not reduced to sea level.
    pub pressure: f64,
    /// Temperature [K].
    pub temperature: f64,
    /// Relative humidity [-], 0 to 1.
    pub relative_humidity: f64,
}

/// Acceleration of gravity [m/s2]. Source: ISO 2533.
pub const G0: f64 = 9.806_65;
/// Standard pressure at sea level [Pa]. Source: ISO 2533.
pub const P0_STANDARD: f64 = 101_325.0;
/// Standard temperature at sea level [K]. Source: ISO 2533.
pub const T0_STANDARD: f64 = 288.15;
/// Temperature gradient of the troposphere [K/m]. Source: ISO 2533.
pub const LAPSE: f64 = -0.006_5;
/// Molar mass of water over that of dry air [-]: 18.015 28 / 28.964 6.
pub const WATER_TO_AIR: f64 = 0.621_98;

/// Standard temperature [K] at geopotential height `h` [m], -1000 to 11 000 m. Source: ISO 2533.
#[must_use]
pub fn standard_temperature(h: f64) -> f64 {
    T0_STANDARD + LAPSE * h
}

/// Standard pressure [Pa] at geopotential height `h` [m]: `p0 (T/T0)^(-g0/(R lapse))`. Source: ISO 2533.
#[must_use]
pub fn standard_pressure(h: f64) -> f64 {
    P0_STANDARD * libm::pow(standard_temperature(h) / T0_STANDARD, -G0 / (R_DRY_AIR * LAPSE))
}

/// Saturation pressure of water [Pa] over liquid at `t` [K], -40 to 60 degrees Celsius, within 0.4 %:
/// `611.2 exp(17.62 t_c / (243.12 + t_c))`. Source: Magnus form, WMO guide no. 8 (from memory).
#[must_use]
pub fn water_saturation_pressure(t: f64) -> f64 {
    let tc = t - 273.15;
    611.2 * libm::exp(17.62 * tc / (243.12 + tc))
}

impl FreeAir {
    /// Partial pressure of water vapour [Pa].
    #[must_use]
    pub fn vapour_pressure(&self) -> f64 {
        self.relative_humidity * water_saturation_pressure(self.temperature)
    }

    /// Mass of dry air over mass of moist air [-].
    #[must_use]
    pub fn dry_share(&self) -> f64 {
        let e = self.vapour_pressure();
        let dry = self.pressure - e;
        dry / (dry + WATER_TO_AIR * e)
    }

    /// Density of the dry part [kg/m3].
    #[must_use]
    pub fn dry_density(&self) -> f64 {
        (self.pressure - self.vapour_pressure()) / (R_DRY_AIR * self.temperature)
    }

    /// Density of the moist air [kg/m3].
    #[must_use]
    pub fn density(&self) -> f64 {
        self.dry_density() / self.dry_share()
    }

    /// Gas constant of the moist air [J/(kg K)].
    #[must_use]
    pub fn gas_constant(&self) -> f64 {
        self.pressure / (self.density() * self.temperature)
    }
}
