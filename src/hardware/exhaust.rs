//! The exhaust: duct from the exhaust valve, and a silencer.

use serde::{Deserialize, Serialize};

use super::duct::Piece;

/// A silencer as a volume with an outlet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Silencer {
    /// Volume [m3].
    pub volume: f64,
    /// Effective area of the way in, over the header's [-]: 1 for an open end, less through a perforated tube or a baffle.
    pub entry: f64,
    /// Effective area of the way out to the free air, baffles included [m2].
    pub outlet: f64,
}

/// The exhaust of one cylinder.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Exhaust {
    /// Port and header in the order of the flow; empty for a valve that opens into a vessel of constant pressure, the
    /// limit that has an exact answer.
    pub pieces: Vec<Piece>,
    /// Added length of the open end, over its radius [-].
    pub end_correction: f64,
    /// Silencer at the header's end; none for an open pipe.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub silencer: Option<Silencer>,
    /// Pressure of the air that it blows into above the free air [Pa]: 0 but on a test bench.
    pub back_pressure: f64,
}
