//! Power corrected to the reference air of a standard: dry air of 99 kPa and 25 degrees Celsius.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Reference pressure of dry air [kPa] and temperature [K, as the standards round it]. Source: both standards (J1349 quoted, ISO 1585
/// from memory).
const DRY_PRESSURE: f64 = 99.0;
const TEMPERATURE: f64 = 298.0;
/// Zero of the Celsius scale as the standards round it [K].
const ZERO_CELSIUS: f64 = 273.0;
/// Factors for which the standards hold [-]. Source: from memory.
pub const VALID: (f64, f64) = (0.93, 1.07);

/// A standard for correcting the brake power of a spark-ignition engine at full throttle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standard {
    /// SAE J1349, June 1990.
    #[serde(rename = "sae_j1349")]
    SaeJ1349,
    /// ISO 1585, spark ignition.
    #[serde(rename = "iso_1585")]
    Iso1585,
}

/// The air is too far from the reference for the standard.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error(
    "the factor of {} is {factor:.3} in dry air of {:.1} kPa at {:.1} degC, and the standard holds for {} to {}",
    .standard.name(), 1e-3 * .dry_pressure, .temperature - 273.15, VALID.0, VALID.1
)]
pub struct OutOfRange {
    /// The standard.
    pub standard: Standard,
    /// What its formula gives [-].
    pub factor: f64,
    /// Pressure of dry air [Pa].
    pub dry_pressure: f64,
    /// Temperature [K].
    pub temperature: f64,
}

/// A factor with what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The standard.
    pub standard: Standard,
    /// Corrected over observed brake power, and torque [-].
    pub factor: f64,
    /// Pressure of dry air [Pa].
    pub dry_pressure_pa: f64,
    /// Temperature [K].
    pub temperature_k: f64,
}

impl Standard {
    /// Name with its issue.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::SaeJ1349 => "SAE J1349 (June 1990)",
            Self::Iso1585 => "ISO 1585",
        }
    }

    /// Corrected over observed brake power [-] at `dry_pressure` [Pa] of dry air and `t` [K], whether the standard holds there or not.
    ///
    /// SAE J1349: `1.180 (99/p_d) ((T_c + 273)/298)^0.5 - 0.180` with `p_d` in kPa and `T_c` in degrees Celsius, for brake figures: it
    /// takes a mechanical efficiency of 0.85 (quoted from the issue of June 1990; a later issue has 1.177 and 0.177). ISO 1585:
    /// `(99/p_d)^1.2 ((T_c + 273)/298)^0.6` (from memory).
    #[must_use]
    pub fn formula(self, dry_pressure: f64, t: f64) -> f64 {
        let pressure = DRY_PRESSURE / (1e-3 * dry_pressure);
        let temperature = (t - 273.15 + ZERO_CELSIUS) / TEMPERATURE;
        match self {
            Self::SaeJ1349 => 1.180 * pressure * temperature.sqrt() - 0.180,
            Self::Iso1585 => libm::pow(pressure, 1.2) * libm::pow(temperature, 0.6),
        }
    }

    /// The correction at `dry_pressure` [Pa] of dry air and `t` [K].
    ///
    /// # Errors
    /// The factor is outside [`VALID`], or not a number.
    pub fn correction(self, dry_pressure: f64, t: f64) -> Result<Correction, OutOfRange> {
        let factor = self.formula(dry_pressure, t);
        if !(factor >= VALID.0 && factor <= VALID.1) {
            return Err(OutOfRange { standard: self, factor, dry_pressure, temperature: t });
        }
        Ok(Correction { standard: self, factor, dry_pressure_pa: dry_pressure, temperature_k: t })
    }
}
