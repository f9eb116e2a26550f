//! The mixture screw: turns to area.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// What the screw throttles.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ScrewKind {
    /// The mixture at the pilot outlet: out is richer.
    Fuel,
    /// The air to the pilot circuit, in series with the pilot air jet: out is leaner.
    Air,
}

/// A screw with a conical tip in a round seat.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MixtureScrew {
    /// Fuel screw or air screw.
    pub kind: ScrewKind,
    /// Turns out from the seat [-].
    pub turns: f64,
    /// Thread pitch [m per turn].
    pub pitch: f64,
    /// Included angle of the tip [rad].
    pub tip_angle: f64,
    /// Bore of the seat [m].
    pub seat_bore: f64,
}

impl MixtureScrew {
    /// Open area of the seat [m2] at the present turns.
    ///
    /// The tip fills the seat when shut; drawn back by `y` it leaves the ring
    /// `pi/4 [d^2 - (d - 2 y tan(angle/2))^2]`, the whole seat once the tip is out. Source: geometry; the
    /// oblique (frustum) area differs by `cos(angle/2)`.
    #[must_use]
    pub fn area(&self) -> f64 {
        let d = self.seat_bore;
        let y = (self.turns * self.pitch).max(0.0);
        let inner = (d - 2.0 * y * libm::tan(0.5 * self.tip_angle)).max(0.0);
        0.25 * PI * (d * d - inner * inner)
    }
}
