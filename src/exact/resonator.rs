//! Natural frequencies of pipes and vessels for small waves, and what an area step does to a wave.
//!
//! A pipe of length `L` and area `A`, open at one end, with a vessel of volume `V` at the other: `k L tan(k L) = A L / V`, with
//! `f = k c / (2 pi)`. Without a vessel this is the quarter-wave pipe, `k L = pi/2, 3 pi/2, ...`; with a large one its lowest
//! root is the lumped resonator, `k L = sqrt(A L / V)`. An open end adds a length of `UNFLANGED` or `FLANGED` radii to the pipe.
//!
//! Limits: waves much longer than the pipe is wide, no mean flow, no losses; the vessel much smaller than a wave.
//! Source: Kinsler, Frey, Coppens & Sanders, *Fundamentals of Acoustics*, chapters 9 and 10 (from memory).

use std::f64::consts::PI;

use crate::numeric::root;

use super::error::{Error, need, need_positive};

/// Added length of an open end without a flange, in radii. Source: Levine & Schwinger, Phys. Rev. 73 (1948) 383, limit of low
/// frequency (from memory).
pub const UNFLANGED: f64 = 0.6133;
/// Added length of an open end in a wide flange, in radii. Source: the same for a flanged end, 0.8217 (from memory).
pub const FLANGED: f64 = 0.8217;

/// Error of `k L` at which the search ends [-].
const TOLERANCE: f64 = 1.0e-15;

/// A pipe, open at one end, with a vessel at the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resonator {
    /// Length of the pipe with its added lengths [m].
    pub length: f64,
    /// Area of the pipe [m2].
    pub area: f64,
    /// Volume of the vessel [m3]; 0 for a pipe that is closed.
    pub volume: f64,
    /// Speed of sound [m/s].
    pub sound: f64,
}

impl Resonator {
    fn check(&self) -> Result<(), Error> {
        need_positive("length", self.length)?;
        need_positive("area", self.area)?;
        need_positive("sound", self.sound)?;
        need(self.volume >= 0.0 && self.volume.is_finite(), "volume", self.volume, "a finite number of 0 or more")
    }

    /// The `n`-th root (n from 1) `k L` [-], which lies between `(n - 1) pi` and `(n - 1/2) pi`.
    ///
    /// # Errors
    /// A measure that is not above 0, a volume below 0, `n` of 0.
    pub fn root(&self, n: u32) -> Result<f64, Error> {
        self.check()?;
        need(n >= 1, "n", f64::from(n), "1 or more")?;
        let end = (f64::from(n) - 0.5) * PI;
        // with `k L = end - y` and multiplied by `V/(A L) cos(k L)`, the equation has no poles, and without a vessel y is 0
        let share = self.volume / (self.area * self.length);
        let f = |y: f64| share * (end - y) * libm::cos(y) - libm::sin(y);
        Ok(end - root::find(f, 0.0, 0.5 * PI, TOLERANCE)?.x)
    }

    /// The `n`-th natural frequency [Hz], n from 1.
    ///
    /// # Errors
    /// As `root`.
    pub fn frequency(&self, n: u32) -> Result<f64, Error> {
        Ok(self.root(n)? * self.sound / (2.0 * PI * self.length))
    }

    /// Frequency [Hz] of the lumped resonator, in which the gas of the pipe is a mass and that of the vessel a spring:
    /// `c/(2 pi) sqrt(A / (V L))`. Limits: `A L` much less than `V`.
    ///
    /// # Errors
    /// As `root`, and a volume of 0.
    pub fn lumped(&self) -> Result<f64, Error> {
        self.check()?;
        need_positive("volume", self.volume)?;
        Ok(self.sound / (2.0 * PI) * (self.area / (self.volume * self.length)).sqrt())
    }
}

/// The `n`-th natural frequency [Hz] (n from 1) of a pipe of `length` [m], closed at one end and open at the other:
/// `(2n - 1) c / (4 (L + added))`.
///
/// # Errors
/// A length or a speed of sound not above 0, an added length below 0, `n` of 0.
pub fn quarter_wave(sound: f64, length: f64, added: f64, n: u32) -> Result<f64, Error> {
    need_positive("sound", sound)?;
    need_positive("length", length)?;
    need(added >= 0.0 && added.is_finite(), "added", added, "a finite number of 0 or more")?;
    need(n >= 1, "n", f64::from(n), "1 or more")?;
    Ok((2.0 * f64::from(n) - 1.0) * sound / (4.0 * (length + added)))
}

/// Reflection and transmission [-] of the pressure of a small wave that comes along `area_1` to a step to `area_2`:
/// `R = (A1 - A2)/(A1 + A2)`, `T = 2 A1/(A1 + A2)`.
///
/// # Errors
/// An area not above 0.
pub fn area_step(area_1: f64, area_2: f64) -> Result<(f64, f64), Error> {
    need_positive("area_1", area_1)?;
    need_positive("area_2", area_2)?;
    Ok(((area_1 - area_2) / (area_1 + area_2), 2.0 * area_1 / (area_1 + area_2)))
}
