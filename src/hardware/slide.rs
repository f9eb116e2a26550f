//! The throttle slide: a gate with two edges in a round bore.
//!
//! What a thin gate changes. A round slide is as long along the flow as the bore is wide, so that the nozzle stands 20 mm behind its
//! atmosphere-side edge: the air has met the hollow of the cutaway, a passage five to twenty openings long, and fills it again
//! before it reaches the lip. A flat slide is some 10 mm thick and bevelled from edge to edge. Hence
//!
//! * no lip: the underside rises in a straight line between the edges, and a hole under it sees the height at its own place;
//! * the nozzle in the middle stands under half of the bevel, not the whole cutaway: less area, a stronger signal at small lift;
//! * a small opening discharges less, since the stream does not fill it again: the coefficient lies between a sharp gate on a floor,
//!   `pi/(pi+2) = 0.611` (Kirchhoff's free jet), and the 0.8 of a short passage;
//! * fully open, the gap of its guide is a quarter as long: nearly the plain bore.
//!
//! What it does not change: the area of the opening, and the leak of the shut slide, which its fit decides. Not modelled: air that
//! the pocket between the edges of a hollow slide holds, some 5 cm3 of a flat one, 20 of a round one; it fills within a
//! tenth of a millisecond.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// How the slide is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SlideKind {
    /// A cylinder across the bore, hollowed from the atmosphere's side behind a short lip.
    #[default]
    Round,
    /// A thin gate, bevelled from edge to edge.
    Flat,
    /// The lower end of a vacuum piston, flat.
    Piston,
}

impl SlideKind {
    /// Whether it is the usual round one, which a written machine does not mention.
    #[must_use]
    pub fn is_round(&self) -> bool {
        *self == Self::Round
    }

    /// Share of the width that the lip at the engine-side edge takes [-]. Common practice, no source: about 4 mm of 40 for a round slide;
    /// the others rise from the edge on, or not at all.
    #[must_use]
    pub fn lip(self) -> f64 {
        match self {
            Self::Round => 0.1,
            Self::Flat | Self::Piston => 1.0,
        }
    }
}

/// A slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Slide {
    /// Bore of the carburettor at the slide [m].
    pub bore: f64,
    /// Height by which the atmosphere-side edge stands above the engine-side edge [m].
    pub cutaway: f64,
    /// Width of the slide along the flow [m]: the diameter of a round slide, the thickness of a flat one.
    pub width: f64,
    /// Discharge coefficient of a small opening [-].
    pub discharge_shut: f64,
    /// Discharge coefficient of the fully open bore [-].
    pub discharge_open: f64,
    /// Area that leaks past the shut slide [m2].
    pub leak_area: f64,
    /// How it is made.
    #[serde(default, skip_serializing_if = "SlideKind::is_round")]
    pub kind: SlideKind,
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
