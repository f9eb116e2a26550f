//! The well around the needle jet's holder of a bleed nozzle, with the side holes through which its air enters.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// A hole in the side of the needle jet's holder.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SideHole {
    /// Bore [m].
    pub bore: f64,
    /// Depth of its middle below the floor of the bore of the carburettor [m].
    pub below: f64,
}

/// The ring-shaped well. The main air jet opens into it from above, fuel stands in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BleedWell {
    /// Diameter of the drilling [m].
    pub outer: f64,
    /// Diameter of the holder in it [m].
    pub inner: f64,
    /// Side holes, in any order.
    pub holes: Vec<SideHole>,
}

impl BleedWell {
    /// Area of its free surface [m2].
    #[must_use]
    pub fn surface_area(&self) -> f64 {
        0.25 * PI * (self.outer * self.outer - self.inner * self.inner)
    }
}

impl SideHole {
    /// Area [m2].
    #[must_use]
    pub fn area(&self) -> f64 {
        0.25 * PI * self.bore * self.bore
    }

    /// Share of the hole that stands out of the fuel when its surface lies `surface` [m] below the floor of the bore: linear over the
    /// hole's height, within 6 % of the area of the segment.
    #[must_use]
    pub fn uncovered(&self, surface: f64) -> f64 {
        ((surface - self.below) / self.bore + 0.5).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hole_is_uncovered_as_the_fuel_falls_past_it() {
        let hole = SideHole { bore: 1.0e-3, below: 15.0e-3 };
        for (surface, share) in [(14.0e-3, 0.0), (14.5e-3, 0.0), (15.0e-3, 0.5), (15.25e-3, 0.75), (16.0e-3, 1.0)] {
            assert!((hole.uncovered(surface) - share).abs() < 1e-12, "{surface}");
        }
        // Exact segment of a circle, geometry.
        for k in 0..=20 {
            let h = f64::from(k) / 20.0;
            let exact = (libm::acos(1.0 - 2.0 * h) - (1.0 - 2.0 * h) * 2.0 * (h - h * h).sqrt()) / PI;
            assert!((hole.uncovered(14.5e-3 + 1e-3 * h) - exact).abs() < 0.06, "{h}");
        }
    }
}
