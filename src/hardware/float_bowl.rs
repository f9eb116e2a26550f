//! The float bowl: where the fuel stands.

use serde::{Deserialize, Serialize};

use super::attitude::Attitude;

/// The float bowl as the circuits see it. Vented to free air.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FloatBowl {
    /// Height of the floor of the bore (and so of a flush nozzle's mouth) above the fuel level [m].
    pub level_below_bore: f64,
    /// How the machine stands and is accelerated; none for level and steady.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attitude: Option<Attitude>,
}
