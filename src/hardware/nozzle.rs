//! The main nozzle: how the needle jet's mouth meets the air stream.

use serde::{Deserialize, Serialize};

/// How the main air jet takes part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum NozzleKind {
    /// The air jet feeds the shroud around the needle jet's mouth and lowers its signal.
    Primary,
    /// The air enters the needle jet through side holes and leaves with the fuel through the annulus.
    Bleed,
}

/// The main nozzle in the floor of the bore, under the slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Nozzle {
    /// Where the main air goes.
    pub kind: NozzleKind,
    /// Bore of the nozzle's mouth (the shroud, for a primary nozzle) [m].
    pub mouth_diameter: f64,
    /// Height by which the shroud stands into the air stream [m], 0 flush.
    pub protrusion: f64,
    /// Width of the shroud across the air stream [m].
    pub width: f64,
    /// Signal coefficient for flow towards the engine [-]: `p_nozzle = p_s - k rho u^2 / 2`.
    pub signal_forward: f64,
    /// Signal coefficient for flow towards the atmosphere [-].
    pub signal_reverse: f64,
    /// Share of the cutaway by which the slide's underside stands above its engine-side edge at the nozzle [-]: 0.5
    /// for a plane bevel from edge to edge, 1 for a cutaway that rises at once behind a short lip.
    pub cutaway_share: f64,
}
