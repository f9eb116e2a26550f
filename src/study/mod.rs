//! Questions asked of many operating points; plain results come back.

pub mod best_mixture;
pub mod circuit_share;
pub mod compare;
pub mod compare_verdict;
pub mod cycle;
pub mod fraction;
pub mod hand_over;
pub mod how_sure;
pub mod idle;
pub mod in_grid;
pub mod inlet_mach;
pub mod machine_solver;
pub mod map;
pub mod one_step;
pub mod point;
pub mod pump_bench;
pub mod rejet;
pub mod resume;
pub mod same_mixture;
pub mod selection;
mod sound;
pub mod spot_cure;
pub mod spots;
pub mod steps_result;
pub mod sweep;
pub mod tasks;
pub mod verdict;
