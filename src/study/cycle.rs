//! One operating point over crank angle.

use serde::{Deserialize, Serialize};

use super::point::PointResult;

/// Traces over one cycle, all of one length. Crank angle runs from the firing top centre.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Traces {
    /// Crank angle [degrees after firing top centre].
    pub crank_deg: Vec<f64>,
    /// Pressure at the main nozzle [Pa, absolute].
    pub nozzle_pa: Vec<f64>,
    /// Pressure behind the slide [Pa, absolute].
    pub manifold_pa: Vec<f64>,
    /// Pressure in the cylinder [Pa, absolute].
    pub cylinder_pa: Vec<f64>,
    /// Air past the slide, towards the engine positive [g/s].
    pub slide_air_g_s: Vec<f64>,
    /// Air speed under the slide at the nozzle [m/s].
    pub nozzle_air_speed: Vec<f64>,
    /// Fuel from the main nozzle into the air [g/s].
    pub fuel_main_g_s: Vec<f64>,
    /// Fuel from the pilot outlet and by-pass holes into the air [g/s].
    pub fuel_pilot_g_s: Vec<f64>,
    /// Inlet valve lift [m].
    pub inlet_lift_m: Vec<f64>,
    /// Exhaust valve lift [m].
    pub exhaust_lift_m: Vec<f64>,
}

/// One operating point with its traces.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CycleResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// Pressure of the free air [Pa].
    pub free_air_pa: f64,
    /// Cycle figures.
    pub point: PointResult,
    /// Traces.
    pub traces: Traces,
    /// The resolved set-up.
    pub setup: serde_json::Value,
}
