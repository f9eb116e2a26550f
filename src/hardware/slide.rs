//! The throttle slide: a gate with two edges in a round bore.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// A round slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Slide {
    /// Bore of the carburettor at the slide [m].
    pub bore: f64,
    /// Height by which the atmosphere-side edge stands above the engine-side edge [m].
    pub cutaway: f64,
    /// Width of the slide along the flow [m], its diameter for a round slide.
    pub width: f64,
    /// Discharge coefficient of a small opening [-].
    pub discharge_shut: f64,
    /// Discharge coefficient of the fully open bore [-].
    pub discharge_open: f64,
    /// Area that leaks past the shut slide [m2].
    pub leak_area: f64,
}

impl Slide {
    /// Area of the whole bore [m2].
    #[must_use]
    pub fn bore_area(&self) -> f64 {
        0.25 * PI * self.bore * self.bore
    }

    /// Area of the circular segment of height `h` [m] -> [m2]:
    /// `r^2 acos((r-h)/r) - (r-h) sqrt(2 r h - h^2)`; `h` is held between 0 and the bore.
    ///
    /// Source: geometry, exact for a straight-edged gate.
    #[must_use]
    pub fn segment_area(&self, h: f64) -> f64 {
        let r = 0.5 * self.bore;
        let h = h.clamp(0.0, self.bore);
        r * r * libm::acos(((r - h) / r).clamp(-1.0, 1.0)) - (r - h) * (2.0 * r * h - h * h).max(0.0).sqrt()
    }

    /// Width of the opening's floor-to-edge chord at height `h` [m] -> [m].
    #[must_use]
    pub fn chord(&self, h: f64) -> f64 {
        let h = h.clamp(0.0, self.bore);
        2.0 * (self.bore * h - h * h).max(0.0).sqrt()
    }

    /// Height of the slide's underside above the floor [m] at `station` (0 the engine-side edge, 1 the
    /// atmosphere-side edge) when the slide is lifted by `lift` [m].
    #[must_use]
    pub fn local_height(&self, lift: f64, station: f64) -> f64 {
        lift + self.cutaway * station.clamp(0.0, 1.0)
    }

    /// Share of the bore's area that is open under the engine-side edge [-].
    #[must_use]
    pub fn opening(&self, lift: f64) -> f64 {
        self.segment_area(lift) / self.bore_area()
    }
}
