//! Tuned intake pipe: cylinder and open pipe as a lumped resonator, and the rule of the travelling wave.
//!
//! Engelman: `V_eff = (V_d/2) (CR + 1)/(CR - 1)`, the volume of the cylinder at half stroke; `f_p = c/(2 pi) sqrt(A/(L V_eff))`;
//! the peak of filling where the cycle's speed is `N = f_p / K`, K about 2.0 to 2.5, often 2.1.
//!
//! Limits: a rule of design, exact as a formula and good for some 10 % as a prediction; one pipe to one cylinder, no bends.
//! Source: H. W. Engelman, ASME paper 73-WA/DGP-2, 1973 (abstract seen; formula and K from memory, the formula agrees with
//! the imperial form of a published lecture).

use std::f64::consts::PI;

use super::error::{Error, need, need_positive};

/// A cylinder and its intake pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engelman {
    /// Swept volume [m3].
    pub displacement: f64,
    /// Compression ratio [-].
    pub compression_ratio: f64,
    /// Length of the pipe with port and end correction [m].
    pub length: f64,
    /// Area of the pipe [m2].
    pub area: f64,
    /// Speed of sound [m/s].
    pub sound: f64,
}

impl Engelman {
    /// Volume [m3] at half stroke.
    ///
    /// # Errors
    /// A swept volume not above 0, a compression ratio not above 1.
    pub fn effective_volume(&self) -> Result<f64, Error> {
        let ratio = self.compression_ratio;
        need_positive("displacement", self.displacement)?;
        need(ratio > 1.0 && ratio.is_finite(), "compression_ratio", ratio, "a finite number above 1")?;
        Ok(0.5 * self.displacement * (ratio + 1.0) / (ratio - 1.0))
    }

    /// Natural frequency [Hz] of the pipe and the cylinder.
    ///
    /// # Errors
    /// As `effective_volume`, or a measure of the pipe not above 0.
    pub fn frequency(&self) -> Result<f64, Error> {
        need_positive("length", self.length)?;
        need_positive("area", self.area)?;
        need_positive("sound", self.sound)?;
        Ok(self.sound / (2.0 * PI) * (self.area / (self.length * self.effective_volume()?)).sqrt())
    }

    /// Speed of the crank [revolutions per second] at the peak of filling, for the constant `k` [-].
    ///
    /// # Errors
    /// As `frequency`, or `k` not above 0.
    pub fn tuned_speed(&self, k: f64) -> Result<f64, Error> {
        need_positive("k", k)?;
        Ok(self.frequency()? / k)
    }
}

/// Length [m] of a pipe along which a wave runs to the open end and back while the crank turns by `angle` [rad] at `speed`
/// [revolutions per second]: `c angle / (4 pi speed)`.
///
/// Limits: a rule of design, without the width of the pipe and the volume of the cylinder. Common practice.
///
/// # Errors
/// An argument not above 0.
pub fn wave_travel_length(sound: f64, angle: f64, speed: f64) -> Result<f64, Error> {
    need_positive("sound", sound)?;
    need_positive("angle", angle)?;
    need_positive("speed", speed)?;
    Ok(sound * angle / (4.0 * PI * speed))
}
