//! Wanted mixture by range of throttle.

use serde::{Deserialize, Serialize};

/// Wanted mixture over a range of throttle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TargetBand {
    /// Slide lift over bore from which the band counts [-].
    pub throttle_from: f64,
    /// Slide lift over bore up to which the band counts [-].
    pub throttle_to: f64,
    /// Richest wanted lambda [-].
    pub lambda_rich: f64,
    /// Leanest wanted lambda [-].
    pub lambda_lean: f64,
}
