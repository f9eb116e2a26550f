//! The vacuum piston: a slide that the engine's own depression lifts against a spring, with a butterfly behind it.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::butterfly::Butterfly;
use crate::media::atmosphere::G0;

/// What moves a slide by depression. The slide itself (bore, width, discharge, leak) is [`super::slide::Slide`].
///
/// A diaphragm or wide piston of `area` divides the chamber above from a room below it that is vented to the side of the air
/// intake. The slide's lower end, `bottom`, stands in the air passage. Holes in that end join passage and chamber.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct VacuumPiston {
    /// Area of diaphragm or piston, its lower end included [m2].
    pub area: f64,
    /// Area of the lower end that the passage's pressure meets [m2].
    pub bottom: f64,
    /// Mass of all that moves: piston, diaphragm, needle, half of the spring [kg].
    pub mass: f64,
    /// Rate of the spring [N/m].
    pub spring_rate: f64,
    /// Force of the spring with the piston on its lower stop [N].
    pub spring_force: f64,
    /// Force that the guide takes against the motion [N].
    pub friction: f64,
    /// Lift on the lower stop [m].
    pub lowest: f64,
    /// Lift on the upper stop [m].
    pub highest: f64,
    /// Volume of the chamber with the piston on its upper stop [m3].
    pub clearance: f64,
    /// Bore of a hole into the chamber [m].
    pub bleed_bore: f64,
    /// Number of holes [-].
    pub bleed_holes: u32,
    /// The butterfly.
    pub butterfly: Butterfly,
}

impl VacuumPiston {
    /// Volume of the chamber [m3] at `lift` [m].
    #[must_use]
    pub fn chamber(&self, lift: f64) -> f64 {
        self.clearance + self.area * (self.highest - lift)
    }

    /// Area of all holes into the chamber [m2].
    #[must_use]
    pub fn bleed_area(&self) -> f64 {
        f64::from(self.bleed_holes) * 0.25 * PI * self.bleed_bore * self.bleed_bore
    }

    /// Weight and spring at `lift` [m] -> [N], downwards.
    #[must_use]
    pub fn load(&self, lift: f64) -> f64 {
        self.mass * G0 + self.spring_force + self.spring_rate * (lift - self.lowest)
    }

    /// Depression of the passage under the piston, below the room under the diaphragm, that carries it at `lift` [m] when the chamber
    /// has the passage's pressure -> [Pa]: load over the area less the lower end.
    #[must_use]
    pub fn floating_depression(&self, lift: f64) -> f64 {
        self.load(lift) / (self.area - self.bottom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn load_chamber_and_floating_depression_follow_from_the_parts() {
        // By hand: 50 g, 1 N, 80 N/m over 20 mm, 20 cm2 left of 26.
        let butterfly = Butterfly {
            bore: 0.034,
            plate: 0.034,
            shaft: 0.008,
            closed_angle: 0.2,
            behind_piston: 0.03,
            discharge_shut: 0.75,
            discharge_open: 0.95,
            leak_area: 0.0,
        };
        let piston = VacuumPiston {
            area: 26e-4,
            bottom: 6e-4,
            mass: 0.05,
            spring_rate: 80.0,
            spring_force: 1.0,
            friction: 0.0,
            lowest: 1e-3,
            highest: 34e-3,
            clearance: 30e-6,
            bleed_bore: 2.5e-3,
            bleed_holes: 2,
            butterfly,
        };
        assert!((piston.load(21e-3) - (0.490_332_5 + 1.0 + 1.6)).abs() < 1e-12);
        assert!((piston.floating_depression(21e-3) - 3.090_332_5 / 20e-4).abs() < 1e-9);
        assert!((piston.chamber(34e-3) - 30e-6).abs() < 1e-15);
        assert!((piston.chamber(14e-3) - 82e-6).abs() < 1e-15);
        assert!((piston.bleed_area() - 9.817_477e-6).abs() < 1e-12);
    }
}
