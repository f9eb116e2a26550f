//! The throttle snapped open: cycle by cycle, with and without the accelerator pump, and the pump that fills the lean
//! hole best.

pub mod bench;
pub mod goal;
pub mod hole;
pub mod result;
pub mod run;
pub mod trial;
pub mod tune;
