//! The main job: air-fuel ratio over throttle and speed.

use serde::{Deserialize, Serialize};

use super::point::PointResult;
use super::road_result::RoadResult;
use super::spots::Spot;
use super::steps_result::StepsResult;
use crate::laws::power_correction::Correction;
use crate::setup::targets::TargetBand;

/// The grid of a map.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Grid {
    /// Slide lift over bore, or a butterfly's angle over its full angle, rising [-].
    pub throttles: Vec<f64>,
    /// Speeds, rising [rpm].
    pub speeds: Vec<f64>,
}

/// The whole map, as every figure and table sees it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MapResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// Stoichiometric ratio of the fuel [-].
    pub stoichiometric: f64,
    /// Form of the friction law.
    pub friction_form: String,
    /// Correction of power and torque to the air of a standard, if one was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub correction: Option<Correction>,
    /// Grid.
    pub grid: Grid,
    /// Wanted mixture.
    pub targets: Vec<TargetBand>,
    /// Points in the order of the grid: for each throttle, each speed. Points not reached are absent.
    pub points: Vec<PointResult>,
    /// Whether the sweep was stopped before its end.
    pub interrupted: bool,
    /// The resolved set-up, with the source of each value.
    pub setup: serde_json::Value,
    /// What one step of each part does, if that was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub steps: Option<StepsResult>,
    /// Where it is lean or rich, the largest spot first.
    #[serde(default)]
    pub spots: Vec<Spot>,
    /// Where the machine rides, if the set-up has a road vehicle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub road: Option<RoadResult>,
}

impl MapResult {
    /// The point at a place of the grid, if it was reached.
    #[must_use]
    pub fn at(&self, throttle: f64, rpm: f64) -> Option<&PointResult> {
        self.points.iter().find(|p| (p.throttle - throttle).abs() < 1e-9 && (p.rpm - rpm).abs() < 1e-6)
    }

    /// What the hand opens, in words: a slide, or the butterfly behind a vacuum piston.
    #[must_use]
    pub fn throttle_words(&self) -> &'static str {
        if self.points.iter().any(|p| p.piston_lift_m.is_some()) {
            "throttle: butterfly angle over full angle, as a fraction and in per cent"
        } else {
            "throttle: slide lift over bore, as a fraction and in per cent"
        }
    }

    /// Share of the grid's points that converged [-].
    #[must_use]
    pub fn converged_share(&self) -> f64 {
        let asked = self.grid.throttles.len() * self.grid.speeds.len();
        let good = self.points.iter().filter(|p| p.converged).count();
        if asked == 0 { 0.0 } else { good as f64 / asked as f64 }
    }

    /// How many points can be relied on, in words: "166 of 168 points converged; 11 of them did not fire".
    #[must_use]
    pub fn standing(&self) -> String {
        let asked = self.grid.throttles.len() * self.grid.speeds.len();
        let good = self.points.iter().filter(|p| p.converged).count();
        let silent = self.points.iter().filter(|p| p.converged && !p.fired).count();
        let mut text = format!("{good} of {asked} points converged");
        if silent > 0 {
            text += &format!("; {silent} of them did not fire");
        }
        text
    }

    /// The band that counts at `throttle`, if any.
    #[must_use]
    pub fn target(&self, throttle: f64) -> Option<&TargetBand> {
        self.targets.iter().find(|t| throttle >= t.throttle_from - 1e-9 && throttle <= t.throttle_to + 1e-9)
    }
}
