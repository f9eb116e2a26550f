//! A jet: one calibrated hole.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// A calibrated hole: main jet, pilot jet, air jet, outlet or by-pass hole.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Jet {
    /// Bore of the calibrated part [m].
    pub bore: f64,
    /// Length of the calibrated part [m].
    pub length: f64,
}

impl Jet {
    /// Area of the hole [m2].
    #[must_use]
    pub fn area(&self) -> f64 {
        0.25 * PI * self.bore * self.bore
    }

    /// Length over diameter [-].
    #[must_use]
    pub fn slenderness(&self) -> f64 {
        self.length / self.bore
    }
}
