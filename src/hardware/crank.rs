//! The crank and slider: cylinder volume against crank angle.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// Bore, stroke, rod and compression of one cylinder.
///
/// Crank angle `theta` is in radians, 0 at the firing top centre, a cycle being `0..4*PI`; gas-exchange
/// top centre is `2*PI`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Crank {
    /// Cylinder bore [m].
    pub bore: f64,
    /// Stroke [m].
    pub stroke: f64,
    /// Connecting-rod length between centres [m].
    pub rod_length: f64,
    /// Geometric compression ratio [-].
    pub compression_ratio: f64,
}

impl Crank {
    /// Piston area [m2].
    #[must_use]
    pub fn piston_area(&self) -> f64 {
        0.25 * PI * self.bore * self.bore
    }

    /// Swept volume [m3].
    #[must_use]
    pub fn swept_volume(&self) -> f64 {
        self.piston_area() * self.stroke
    }

    /// Clearance volume [m3]: `V_d / (r_c - 1)`.
    #[must_use]
    pub fn clearance_volume(&self) -> f64 {
        self.swept_volume() / (self.compression_ratio - 1.0)
    }

    /// Piston travel from top centre [m] at crank angle `theta` [rad]:
    /// `a (1 - cos t) + l - sqrt(l^2 - a^2 sin^2 t)` with crank radius `a` and rod `l`.
    ///
    /// Source: slider-crank kinematics, exact; no pin offset.
    #[must_use]
    pub fn travel(&self, theta: f64) -> f64 {
        let a = 0.5 * self.stroke;
        let l = self.rod_length;
        let s = a * libm::sin(theta);
        a * (1.0 - libm::cos(theta)) + l - (l * l - s * s).sqrt()
    }

    /// Cylinder volume [m3] at crank angle `theta` [rad].
    #[must_use]
    pub fn volume(&self, theta: f64) -> f64 {
        self.clearance_volume() + self.piston_area() * self.travel(theta)
    }

    /// Area of the walls that the gas touches [m2]: flat head, flat piston and the uncovered liner.
    #[must_use]
    pub fn wall_area(&self, theta: f64) -> f64 {
        let clearance_height = self.clearance_volume() / self.piston_area();
        2.0 * self.piston_area() + PI * self.bore * (clearance_height + self.travel(theta))
    }

    /// Mean piston speed [m/s]: `2 S n`.
    #[must_use]
    pub fn mean_piston_speed(&self, rpm: f64) -> f64 {
        2.0 * self.stroke * rpm / 60.0
    }
}
