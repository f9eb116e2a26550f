//! The air box, or a pod filter: a volume in front of the carburettor's mouth.

use serde::{Deserialize, Serialize};

use super::duct::Piece;

/// A filter element: the pressure drop grows in proportion to the face velocity (creeping flow through a fine medium, Darcy's law).
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Filter {
    /// Face area [m2].
    pub area: f64,
    /// Pressure drop at a face velocity of 1 m/s [Pa].
    pub drop: f64,
}

impl Filter {
    /// Pressure drop per volume flow [Pa s/m3].
    #[must_use]
    pub fn resistance(&self) -> f64 {
        self.drop / self.area
    }
}

/// A volume that the carburettor draws from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AirBox {
    /// Volume [m3].
    pub volume: f64,
    /// Inlet duct from the free air; empty when the filter's face is the inlet (pod filter).
    pub inlet: Vec<Piece>,
    /// Loss coefficient of the inlet's outer end for inflow [-].
    pub inlet_loss: f64,
    /// Added length of the inlet's outer and inner end, over its radius [-].
    pub end_corrections: (f64, f64),
    /// Filter between the inlet and the volume.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub filter: Option<Filter>,
    /// Whether the float bowl's vent ends in the volume instead of in free air.
    pub bowl_vented_inside: bool,
}
