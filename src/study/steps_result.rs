//! What one step of each part does, as every figure and table sees it.

use serde::{Deserialize, Serialize};

use super::hand_over::HandOver;
use super::map::Grid;
use super::point::PointResult;
use crate::hardware::part::Part;

/// Mixture and fuel of one run, cycle means.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Fuelling {
    /// Fresh dry air over fresh fuel trapped [-].
    pub afr: Option<f64>,
    /// Dry air over fuel metered [-].
    pub afr_metered: Option<f64>,
    /// All fuel metered [g/s].
    pub fuel_g_s: Option<f64>,
    /// Fuel through the pilot jet [g/s].
    pub fuel_pilot_g_s: Option<f64>,
    /// Fuel through the needle jet [g/s].
    pub fuel_main_g_s: Option<f64>,
    /// Brake torque [N m].
    pub torque_nm: Option<f64>,
    /// Whether the run is periodic; if not, it counts nowhere.
    pub converged: bool,
    /// Why there is no run, or what went wrong in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Fuelling {
    /// That of a point.
    #[must_use]
    pub fn of(point: &PointResult) -> Self {
        Self {
            afr: point.afr,
            afr_metered: point.afr_metered,
            fuel_g_s: point.fuel_g_s,
            fuel_pilot_g_s: point.fuel_pilot_g_s,
            fuel_main_g_s: point.fuel_main_g_s,
            torque_nm: point.torque_nm,
            converged: point.converged,
            note: point.note.clone(),
        }
    }

    /// No run, and why.
    #[must_use]
    pub fn none(note: String) -> Self {
        Self { note: Some(note), ..Self::default() }
    }

    /// Fuel metered over dry air [-], if the run is periodic.
    #[must_use]
    pub fn richness(&self) -> Option<f64> {
        self.afr_metered.filter(|a| self.converged && a.is_finite() && *a > 0.0).map(|a| 1.0 / a)
    }

    /// All fuel metered [g/s], if the run is periodic.
    #[must_use]
    pub fn fuel(&self) -> Option<f64> {
        self.fuel_g_s.filter(|f| self.converged && f.is_finite())
    }
}

/// Change [%] of a quantity by one step up and by one step down, the two sides apart so that the curvature shows.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Change {
    /// By one step up (richer) [%].
    pub up: Option<f64>,
    /// By one step down (leaner) [%].
    pub down: Option<f64>,
    /// Per step up [%]: half the difference of the two sides, or the one side there is.
    pub per_step: Option<f64>,
}

impl Change {
    /// From the quantity before and after.
    #[must_use]
    pub fn between(before: Option<f64>, up: Option<f64>, down: Option<f64>) -> Self {
        let percent = |after: Option<f64>| Some(100.0 * (after? / before.filter(|b| *b > 0.0)? - 1.0));
        let (up, down) = (percent(up), percent(down));
        let per_step = match (up, down) {
            (Some(up), Some(down)) => Some(0.5 * (up - down)),
            (up, down) => up.or(down.map(|d| -d)),
        };
        Self { up, down, per_step }
    }
}

/// What one step of one part does at one point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartEffect {
    /// The part.
    pub part: Part,
    /// One step up, richer.
    pub up: Fuelling,
    /// One step down, leaner.
    pub down: Fuelling,
    /// Change of fuel metered over air.
    pub mixture: Change,
    /// Change of all fuel metered.
    pub fuel: Change,
    /// Its part of the say [-]: its `mixture` per step without sign, over the sum of all parts asked for; none without
    /// a number, and none for the needle's taper, since another taper is another needle.
    pub share: Option<f64>,
}

/// One operating point with every part moved.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StepsPoint {
    /// As it is fitted.
    pub base: PointResult,
    /// Each part, in the order asked for.
    pub parts: Vec<PartEffect>,
}

/// A part, what is fitted, and what one step of it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartRow {
    /// The part.
    pub part: Part,
    /// In plain words.
    pub name: String,
    /// What is fitted or set now.
    pub setting: String,
    /// One step up, richer.
    pub step: String,
}

/// What one step of each part does, over throttle and at a few speeds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StepsResult {
    /// Throttles and speeds.
    pub grid: Grid,
    /// The parts.
    pub parts: Vec<PartRow>,
    /// Points in the order of the grid: for each throttle, each speed.
    pub points: Vec<StepsPoint>,
    /// Points as fitted below the smallest throttle of the grid, for what the pilot's openings do there: for each
    /// throttle, each speed.
    pub small: Vec<PointResult>,
    /// The pilot's openings into the bore in plain words, in the order of [`PointResult::pilot_openings`].
    pub openings: Vec<String>,
    /// Areas of needle jet and main jet against lift.
    pub hand_over: HandOver,
}

impl StepsResult {
    /// The points of one speed, throttles rising.
    pub fn at_speed(&self, rpm: f64) -> impl Iterator<Item = &StepsPoint> {
        self.points.iter().filter(move |p| (p.base.rpm - rpm).abs() < 1e-6)
    }

    /// All points as fitted of one speed, the small throttles too, throttles rising.
    #[must_use]
    pub fn fitted_at(&self, rpm: f64) -> Vec<&PointResult> {
        let small = self.small.iter().filter(|p| (p.rpm - rpm).abs() < 1e-6);
        small.chain(self.at_speed(rpm).map(|p| &p.base)).collect()
    }
}
