//! How finely and how long a point is computed.

use serde::{Deserialize, Serialize};

use crate::hardware::duct::USUAL_CELL;

/// Settings of the computation; not part of the machine.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Length of a cell wanted [m].
    pub cell_size: f64,
    /// Courant number [-].
    pub courant: f64,
    /// Largest step in crank angle [rad].
    pub largest_angle: f64,
    /// Relative change over two successive cycles below which a point is periodic [-].
    pub tolerance: f64,
    /// Fewest cycles.
    pub fewest_cycles: u32,
    /// Most cycles.
    pub most_cycles: u32,
    /// Whether slow states are helped on their way between cycles; without it a point takes more of them to the same end.
    #[serde(default = "helped")]
    pub help_slow_states: bool,
}

fn helped() -> bool {
    true
}

/// Courant number when nobody asks for another [-]. Against 0.8 the demo's air-fuel ratio moves by at most 0.02 %, its filling by 0.01 %.
pub const USUAL_COURANT: f64 = 0.9;
/// Cycles that any point may take at the very most.
pub const MOST_CYCLES: u32 = 400;
/// Steps that one cycle may take at the very most.
pub const MOST_STEPS_PER_CYCLE: u64 = 2_000_000;
/// Cells that the whole machine may have at the very most.
pub const MOST_CELLS: usize = 20_000;

impl Default for Settings {
    fn default() -> Self {
        Self {
            cell_size: USUAL_CELL,
            courant: USUAL_COURANT,
            largest_angle: 0.6_f64.to_radians(),
            tolerance: 2e-4,
            fewest_cycles: 4,
            most_cycles: 60,
            help_slow_states: true,
        }
    }
}
