//! The butterfly: a plate on a shaft across a round bore, opened by the hand.

use std::f64::consts::{FRAC_PI_2, PI};

use serde::{Deserialize, Serialize};

/// A butterfly behind a vacuum piston.
///
/// The plate is the ellipse that shuts a bore of its own diameter at `closed_angle`. Angles count from the plane across the bore;
/// full throttle is 90 degrees.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Butterfly {
    /// Bore at the butterfly [m].
    pub bore: f64,
    /// Diameter of the plate along its shaft [m], at most the bore.
    pub plate: f64,
    /// Diameter of the shaft [m].
    pub shaft: f64,
    /// Angle of the shut plate [rad].
    pub closed_angle: f64,
    /// Distance from the piston's engine-side edge to the shaft [m].
    pub behind_piston: f64,
    /// Discharge coefficient of a small opening [-].
    pub discharge_shut: f64,
    /// Discharge coefficient of the fully open plate [-].
    pub discharge_open: f64,
    /// Area that leaks past the shut plate [m2].
    pub leak_area: f64,
}

/// Part of a circle of radius 1 within the band `|y| <= a`, over the circle [-]: `2/pi (a sqrt(1-a^2) + asin a)`.
fn band(a: f64) -> f64 {
    let a = a.clamp(0.0, 1.0);
    2.0 / PI * (a * (1.0 - a * a).sqrt() + libm::asin(a))
}

impl Butterfly {
    /// Angle of the plate [rad] at `throttle`, the angle opened over the full angle [-].
    #[must_use]
    pub fn angle(&self, throttle: f64) -> f64 {
        self.closed_angle + throttle.clamp(0.0, 1.0) * (FRAC_PI_2 - self.closed_angle)
    }

    /// Area open at `throttle` [-] between plate, shaft and a bore as wide as the plate, seen along the bore [m2].
    ///
    /// With `c = cos(psi)/cos(psi_0)` the plate covers an ellipse of semi-axes `R` and `c R`, the shaft a band `|y| <= a R`,
    /// `a = d/D`. What both cover of the circle is `band(a) + c [1 - band(a/c)]` while the plate stands out beyond the shaft (`c > a`),
    /// and `band(a)` from there on:
    ///
    /// ```text
    /// A/(pi D^2/4) = 1 - c - (2/pi)[a sqrt(1-a^2) + asin a] + (2/pi)[(a/c) sqrt(c^2-a^2) + c asin(a/c)]
    /// ```
    ///
    /// Source: Heywood 1988, eq. 7.18, after Harrington & Bolt, SAE 700082 (from memory; derived anew, and integrated numerically
    /// in the tests). Where the shut plate's ellipse and the shaft overlap nothing is counted twice.
    #[must_use]
    pub fn open_area(&self, throttle: f64) -> f64 {
        let c = libm::cos(self.angle(throttle)) / libm::cos(self.closed_angle);
        let a = self.shaft / self.plate;
        let beside = if c > a { c * (1.0 - band(a / c)) } else { 0.0 };
        0.25 * PI * self.plate * self.plate * (1.0 - band(a) - beside).max(0.0)
    }

    /// Ring that a plate narrower than its bore leaves open at any angle [m2].
    #[must_use]
    pub fn ring(&self) -> f64 {
        0.25 * PI * (self.bore * self.bore - self.plate * self.plate).max(0.0)
    }

    /// Geometric area at `throttle` [-]: open area and ring [m2].
    #[must_use]
    pub fn area(&self, throttle: f64) -> f64 {
        self.open_area(throttle) + self.ring()
    }

    /// Effective area at `throttle` [-]: the area times a discharge coefficient that runs from its small-opening to its open
    /// value with the square of the area's share, and the leak [m2].
    #[must_use]
    pub fn effective_area(&self, throttle: f64) -> f64 {
        let area = self.area(throttle);
        let s = area / self.area(1.0);
        (self.discharge_shut + (self.discharge_open - self.discharge_shut) * s * s) * area + self.leak_area
    }

    /// How far the plate's upstream edge has moved towards the atmosphere at `throttle` [-], measured along the bore from where it
    /// stands when shut [m]: `R (sin psi - sin psi_0)/cos psi_0`.
    #[must_use]
    pub fn edge_moved(&self, throttle: f64) -> f64 {
        let radius = 0.5 * self.plate;
        radius * (libm::sin(self.angle(throttle)) - libm::sin(self.closed_angle)) / libm::cos(self.closed_angle)
    }

    /// Share of a wall hole of bore `hole` [m] that lies behind the plate's edge at `throttle` [-]; its middle stands `ahead` [m] of
    /// the shut plate's edge. Exact for a straight edge: the segment of the hole's circle.
    #[must_use]
    pub fn share_behind(&self, throttle: f64, ahead: f64, hole: f64) -> f64 {
        // Over the hole's radius, the distance by which the edge has passed the hole's middle.
        let t = (2.0 * (self.edge_moved(throttle) - ahead) / hole).clamp(-1.0, 1.0);
        (libm::acos(-t) + t * (1.0 - t * t).sqrt()) / PI
    }

    /// Area that the stream fills `distance` [m] ahead of the plate's edge at `throttle` [-], at the wall [m2].
    ///
    /// The gas runs to the slit around the plate as to a line sink in a corner: at a distance it fills quarter circles of that radius
    /// along the rim, `A(0) + pi D (pi/2) distance`, and no more than the bore. Plane potential flow to a slit in a corner, exact
    /// there for a narrow slit; the rim taken as straight and the slit as even around it.
    #[must_use]
    pub fn area_ahead(&self, throttle: f64, distance: f64) -> f64 {
        let bore = 0.25 * PI * self.bore * self.bore;
        let slit = self.area(throttle) + self.leak_area;
        (slit + FRAC_PI_2 * PI * self.bore * distance.max(0.0)).min(bore)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn plate() -> Butterfly {
        Butterfly {
            bore: 0.034,
            plate: 0.034,
            shaft: 0.008,
            closed_angle: 12.0_f64.to_radians(),
            behind_piston: 0.03,
            discharge_shut: 0.75,
            discharge_open: 0.95,
            leak_area: 0.0,
        }
    }

    /// What plate and shaft leave of the circle, by strips across the shaft.
    fn by_strips(b: &Butterfly, throttle: f64) -> f64 {
        let n = 200_000;
        let r = 0.5 * b.plate;
        let c = libm::cos(b.angle(throttle)) / libm::cos(b.closed_angle);
        (0..n)
            .map(|i| {
                // along the shaft
                let x = r * (2.0 * (f64::from(i) + 0.5) / f64::from(n) - 1.0);
                let half = (r * r - x * x).sqrt();
                let covered = (c * half).max((0.5 * b.shaft).min(half));
                2.0 * (half - covered) * 2.0 * r / f64::from(n)
            })
            .sum()
    }

    #[test]
    fn the_open_area_is_what_strips_of_the_bore_leave() {
        // Numerical integration of the same shapes; independent of the closed form.
        let b = plate();
        for throttle in [0.0, 0.01, 0.05, 0.2, 0.5, 0.8, 0.9, 0.95, 1.0] {
            let (got, want) = (b.open_area(throttle), by_strips(&b, throttle));
            assert!((got - want).abs() < 1e-6 * 0.25 * PI * b.plate * b.plate, "{throttle}: {got} {want}");
        }
    }

    #[test]
    fn a_shut_plate_leaves_nothing_and_a_full_one_the_bore_less_its_shaft() {
        // Exact: circle less band.
        let b = plate();
        assert!(b.open_area(0.0).abs() < 1e-16);
        let r = 0.5 * b.bore;
        let y = 0.5 * b.shaft;
        let shaft = 2.0 * (y * (r * r - y * y).sqrt() + r * r * libm::asin(y / r));
        assert!((b.open_area(1.0) - (PI * r * r - shaft)).abs() < 1e-12);
        assert!((b.effective_area(1.0) - 0.95 * b.open_area(1.0)).abs() < 1e-12);
    }

    #[test]
    fn without_a_shaft_the_area_is_one_less_the_ratio_of_the_cosines() {
        // Exact: ellipse in a circle.
        let b = Butterfly { shaft: 0.0, ..plate() };
        for throttle in [0.1, 0.4, 0.7] {
            let c = libm::cos(b.angle(throttle)) / libm::cos(b.closed_angle);
            assert!((b.open_area(throttle) / (0.25 * PI * b.bore * b.bore) - (1.0 - c)).abs() < 1e-14);
        }
    }

    #[test]
    fn the_edge_sweeps_over_a_hole_from_ahead_to_behind() {
        // Geometry: half of the hole when the edge stands over its middle.
        let b = plate();
        let moved = b.edge_moved(0.1);
        assert!(b.share_behind(0.1, moved + 1e-3, 0.8e-3) < 1e-12);
        assert!((b.share_behind(0.1, moved, 0.8e-3) - 0.5).abs() < 1e-12);
        assert!((b.share_behind(0.1, moved - 1e-3, 0.8e-3) - 1.0).abs() < 1e-12);
    }
}
