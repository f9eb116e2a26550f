//! The jet needle and the needle jet around it.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// A jet needle, described from its top groove downwards.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Needle {
    /// Stations: distance below the middle of the top groove [m] and diameter there [m], distances
    /// rising. Between stations the diameter is linear (a cone); beyond them it is that of the last one.
    pub stations: Vec<(f64, f64)>,
    /// Distance between two grooves [m].
    pub groove_pitch: f64,
    /// Groove that holds the clip, 1 at the top [-].
    pub groove: u32,
    /// Number of grooves [-].
    pub grooves: u32,
    /// Thickness of washers under the clip, which raise the needle [m].
    pub washers: f64,
    /// Distance from the clip's seat in the shut slide down to the needle jet's metering edge [m].
    pub clip_to_jet: f64,
    /// How far the needle leans: offset of its axis over the radial gap, 0 centred to 1 touching [-].
    pub eccentricity: f64,
}

impl Needle {
    /// Station of the needle [m below the top groove] that stands in the metering edge of the needle
    /// jet when the slide is lifted by `lift` [m].
    ///
    /// Lowering the clip by one groove, or a washer under it, raises the needle.
    #[must_use]
    pub fn station(&self, lift: f64) -> f64 {
        self.clip_to_jet + lift + f64::from(self.groove - 1) * self.groove_pitch + self.washers
    }

    /// Diameter [m] at `station` [m below the top groove].
    #[must_use]
    pub fn diameter(&self, station: f64) -> f64 {
        let Some(first) = self.stations.first() else { return 0.0 };
        if station <= first.0 {
            return first.1;
        }
        for pair in self.stations.windows(2) {
            let ((x0, d0), (x1, d1)) = (pair[0], pair[1]);
            if station <= x1 {
                return d0 + (d1 - d0) * (station - x0) / (x1 - x0);
            }
        }
        self.stations[self.stations.len() - 1].1
    }
}

/// The cylindrical hole that the needle works in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NeedleJet {
    /// Bore [m].
    pub bore: f64,
    /// Length of the metering land [m].
    pub length: f64,
}

/// The ring between needle and needle jet at one lift.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Annulus {
    /// Bore of the needle jet [m].
    pub outer_diameter: f64,
    /// Diameter of the needle [m], 0 when it has left the jet.
    pub inner_diameter: f64,
    /// Length of the metering land [m].
    pub length: f64,
    /// Offset over radial gap [-], 0 to 1.
    pub eccentricity: f64,
}

impl Annulus {
    /// Open area [m2]: `pi/4 (D^2 - d^2)`.
    #[must_use]
    pub fn area(&self) -> f64 {
        0.25 * PI * (self.outer_diameter * self.outer_diameter - self.inner_diameter * self.inner_diameter)
    }

    /// Hydraulic diameter [m]: `D - d`.
    #[must_use]
    pub fn hydraulic_diameter(&self) -> f64 {
        self.outer_diameter - self.inner_diameter
    }
}

impl NeedleJet {
    /// The ring left open by `needle` when the slide is lifted by `lift` [m].
    #[must_use]
    pub fn annulus(&self, needle: &Needle, lift: f64) -> Annulus {
        Annulus {
            outer_diameter: self.bore,
            inner_diameter: needle.diameter(needle.station(lift)),
            length: self.length,
            eccentricity: needle.eccentricity,
        }
    }
}
