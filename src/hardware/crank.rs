//! The crank and slider: cylinder volume against crank angle.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// Bore, stroke, rod, pin offset and compression of one cylinder.
///
/// Crank angle `theta` is in radians, 0 at the firing top centre, a cycle being `0..4*PI`; gas-exchange top centre is `2*PI`.
/// Top centre is the **piston's** highest position, which a degree wheel set by a piston stop shows and a flywheel mark means. With a pin
/// offset the crank then stands `asin(d / (l + a))` before the line of the cylinder, and the lowest position comes a little before
/// `PI`: with `d` 5 % of the stroke and a rod of 1.8 strokes, 1.2 and 1.0 degrees.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Crank {
    /// Cylinder bore [m].
    pub bore: f64,
    /// Stroke [m]: twice the throw of the crank.
    pub stroke: f64,
    /// Connecting-rod length between centres [m].
    pub rod_length: f64,
    /// Offset of the wrist pin from the cylinder's axis through the crank's centre [m], positive towards the thrust side: the side that
    /// the piston leans on while it is pushed down, away from the crank pin.
    #[serde(default)]
    pub pin_offset: f64,
    /// Geometric compression ratio [-].
    pub compression_ratio: f64,
}

impl Crank {
    /// Piston area [m2].
    #[must_use]
    pub fn piston_area(&self) -> f64 {
        0.25 * PI * self.bore * self.bore
    }

    /// Throw `a`, rod `l`, and how much lower than `l + a` and than `l - a` the pin stands at its highest and lowest position [m]:
    /// there crank and rod lie in one line, so that its height over the crank's centre is `sqrt((l +- a)^2 - d^2)`.
    fn linkage(&self) -> (f64, f64, f64, f64) {
        let (a, l, d) = (0.5 * self.stroke, self.rod_length, self.pin_offset);
        let (far, near) = (l + a, l - a);
        (a, l, (far * far - d * d).sqrt() - far, (near * near - d * d).sqrt() - near)
    }

    /// Way of the piston between its highest and lowest position [m]:
    /// `sqrt((l + a)^2 - d^2) - sqrt((l - a)^2 - d^2)` with throw `a`, rod `l`, offset `d`; the stroke if there is no offset.
    #[must_use]
    pub fn piston_stroke(&self) -> f64 {
        let (_, _, top, bottom) = self.linkage();
        self.stroke + (top - bottom)
    }

    /// Swept volume [m3].
    #[must_use]
    pub fn swept_volume(&self) -> f64 {
        self.piston_area() * self.piston_stroke()
    }

    /// Clearance volume [m3]: `V_d / (r_c - 1)`.
    #[must_use]
    pub fn clearance_volume(&self) -> f64 {
        self.swept_volume() / (self.compression_ratio - 1.0)
    }

    /// What its motion takes, computed once.
    #[must_use]
    pub fn motion(&self) -> CrankMotion {
        let (throw, rod, top, _) = self.linkage();
        CrankMotion {
            throw,
            rod,
            top,
            pin_offset: self.pin_offset,
            sin_0: self.pin_offset / (rod + throw),
            cos_0: (rod + throw + top) / (rod + throw),
            piston_stroke: self.piston_stroke(),
            piston_area: self.piston_area(),
            clearance_volume: self.clearance_volume(),
            clearance_height: self.clearance_height(),
            girth: PI * self.bore,
        }
    }

    /// Piston travel from its highest position [m] at crank angle `theta` [rad], see [`CrankMotion::travel`].
    #[must_use]
    pub fn travel(&self, theta: f64) -> f64 {
        self.motion().travel(theta)
    }

    /// Cylinder volume [m3] at crank angle `theta` [rad].
    #[must_use]
    pub fn volume(&self, theta: f64) -> f64 {
        let m = self.motion();
        m.volume(m.travel(theta))
    }

    /// Height of the clearance volume over a flat piston under a flat head [m].
    #[must_use]
    pub fn clearance_height(&self) -> f64 {
        self.clearance_volume() / self.piston_area()
    }

    /// Area of the walls that the gas touches [m2]: flat head, flat piston and the uncovered liner.
    #[must_use]
    pub fn wall_area(&self, theta: f64) -> f64 {
        let m = self.motion();
        m.wall_area(m.travel(theta))
    }

    /// Mean piston speed [m/s]: `2 S n`.
    #[must_use]
    pub fn mean_piston_speed(&self, rpm: f64) -> f64 {
        self.motion().mean_piston_speed(rpm)
    }
}

/// A crank and slider with what its motion takes computed once: for use in every step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrankMotion {
    throw: f64,
    rod: f64,
    /// How much lower than throw and rod in one line the pin stands at its highest position, negative [m].
    top: f64,
    pin_offset: f64,
    /// Sine and cosine of the angle that the crank stands before the cylinder's line at the piston's top centre.
    sin_0: f64,
    cos_0: f64,
    piston_stroke: f64,
    piston_area: f64,
    clearance_volume: f64,
    clearance_height: f64,
    /// Circumference of the bore [m].
    girth: f64,
}

impl CrankMotion {
    /// Piston travel from its highest position [m] at crank angle `theta` [rad]:
    /// `sqrt((l + a)^2 - d^2) - a cos b - sqrt(l^2 - (a sin b + d)^2)`, where `b = theta - asin(d / (l + a))` is the
    /// crank's angle from the line of the cylinder; without offset the usual
    /// `a (1 - cos t) + l - sqrt(l^2 - a^2 sin^2 t)`.
    ///
    /// Source: slider-crank kinematics, exact; held at nothing where round-off would leave less. Needs `|d| < l - a`.
    #[must_use]
    pub fn travel(&self, theta: f64) -> f64 {
        let (a, l) = (self.throw, self.rod);
        let (sin_t, cos_t) = libm::sincos(theta);
        let (sin_b, cos_b) = (sin_t * self.cos_0 - cos_t * self.sin_0, cos_t * self.cos_0 + sin_t * self.sin_0);
        let s = a * sin_b + self.pin_offset;
        (a * (1.0 - cos_b) + l - (l * l - s * s).sqrt() + self.top).max(0.0)
    }

    /// Cylinder volume [m3] at a piston travel of `travel` [m].
    #[must_use]
    pub fn volume(&self, travel: f64) -> f64 {
        self.clearance_volume + self.piston_area * travel
    }

    /// Area of the walls that the gas touches [m2] at a piston travel of `travel` [m]: flat head, flat piston and the
    /// uncovered liner.
    #[must_use]
    pub fn wall_area(&self, travel: f64) -> f64 {
        2.0 * self.piston_area + self.girth * (self.clearance_height + travel)
    }

    /// Mean piston speed [m/s]: `2 S n`.
    #[must_use]
    pub fn mean_piston_speed(&self, rpm: f64) -> f64 {
        2.0 * self.piston_stroke * rpm / 60.0
    }
}
