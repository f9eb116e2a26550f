//! The result of one operating point: one row of the map.

use serde::{Deserialize, Serialize};

/// How a point ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Periodic within the tolerance.
    Converged,
    /// The cycles alternate between two states.
    Alternating,
    /// The limit of cycles came first.
    CycleLimit,
    /// The state left physical bounds; `PointResult::note` says where.
    Failed,
}

impl Status {
    /// Short word for tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Converged => "converged",
            Self::Alternating => "alternating",
            Self::CycleLimit => "cycle limit",
            Self::Failed => "failed",
        }
    }
}

/// One operating point, per-cycle means of the last cycle. Flows in g/s, SI elsewhere; a value that does
/// not exist is `None`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PointResult {
    /// Slide lift over bore [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Fresh dry air over fresh fuel trapped when the inlet valve shuts [-].
    pub afr: Option<f64>,
    /// `afr` over the fuel's stoichiometric ratio [-].
    pub lambda: Option<f64>,
    /// Dry air over fuel metered in the cycle [-].
    pub afr_metered: Option<f64>,
    /// Filling: dry air trapped over dry-air density of the free air times swept volume [-].
    pub ve: Option<f64>,
    /// Brake torque [N m].
    pub torque_nm: Option<f64>,
    /// Brake power [kW].
    pub power_kw: Option<f64>,
    /// All dry air into the cylinder, air jets included [g/s].
    pub air_g_s: Option<f64>,
    /// All fuel metered [g/s].
    pub fuel_g_s: Option<f64>,
    /// Fuel through the pilot jet [g/s].
    pub fuel_pilot_g_s: Option<f64>,
    /// Fuel through the needle jet [g/s].
    pub fuel_main_g_s: Option<f64>,
    /// Fuel through the starter circuit [g/s]; 0 while no such circuit is described.
    pub fuel_starter_g_s: Option<f64>,
    /// Fuel blown out of the mouth [g/s].
    pub standoff_g_s: Option<f64>,
    /// Time mean of bowl-vent minus nozzle pressure [Pa].
    pub nozzle_depression_pa: Option<f64>,
    /// Time mean of the pressure behind the slide [Pa, absolute].
    pub manifold_pa: Option<f64>,
    /// Largest relative change over the last two cycles [-].
    pub residual: Option<f64>,
    /// Cycles run.
    pub cycles: u32,
    /// Whether the point is periodic.
    pub converged: bool,
    /// Fuel blown out of the mouth that did not come back [g/s].
    pub standoff_lost_g_s: Option<f64>,
    /// Burnt gas in the cylinder over all gas when the inlet valve shuts [-].
    pub residual_gas: Option<f64>,
    /// Indicated mean effective pressure over the whole cycle [Pa].
    pub imep_pa: Option<f64>,
    /// Friction mean effective pressure [Pa].
    pub fmep_pa: Option<f64>,
    /// Whether the charge burnt.
    pub fired: bool,
    /// Highest stroke-cycle air speed at the slide [m/s].
    pub peak_air_speed: Option<f64>,
    /// Floors and fallbacks used in the last cycle.
    pub repairs: u64,
    /// How it ended.
    pub status: Status,
    /// What went wrong, where, when, and what to try.
    pub note: Option<String>,
}

impl PointResult {
    /// A point that failed before it gave a number.
    #[must_use]
    pub fn failed(throttle: f64, rpm: f64, cycles: u32, note: String) -> Self {
        Self {
            throttle,
            rpm,
            afr: None,
            lambda: None,
            afr_metered: None,
            ve: None,
            torque_nm: None,
            power_kw: None,
            air_g_s: None,
            fuel_g_s: None,
            fuel_pilot_g_s: None,
            fuel_main_g_s: None,
            fuel_starter_g_s: None,
            standoff_g_s: None,
            nozzle_depression_pa: None,
            manifold_pa: None,
            residual: None,
            cycles,
            converged: false,
            standoff_lost_g_s: None,
            residual_gas: None,
            imep_pa: None,
            fmep_pa: None,
            fired: false,
            peak_air_speed: None,
            repairs: 0,
            status: Status::Failed,
            note: Some(note),
        }
    }
}
