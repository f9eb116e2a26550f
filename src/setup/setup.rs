//! A set-up that has passed every check.

use serde::Serialize;

use super::assemble::assemble;
use super::flow_test::FlowTest;
use super::load::Texts;
use super::provenance::{End, Provenance};
use super::reader::nearest;
use super::snap::SnapPlan;
use super::supply::Supply;
use super::targets::TargetBand;
use crate::diagnostics::{Problem, Report};
use crate::hardware::machine::Machine;
use crate::hardware::road_vehicle::RoadVehicle;
use crate::hardware::stock::Stock;

/// A validated set-up in SI units that knows where each value comes from.
#[derive(Debug, Clone, Serialize)]
pub struct Setup {
    /// What it is called.
    pub name: String,
    /// The machine.
    pub machine: Machine,
    /// Wanted mixture.
    pub targets: Vec<TargetBand>,
    /// Origin of each value, in the order of reading.
    pub provenance: Vec<Provenance>,
    /// Jets that were tested at home.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub flow_tests: Vec<FlowTest>,
    /// Parts on hand or on sale that the file lists.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub on_hand: Vec<Stock>,
    /// The vehicle on the road, if the file has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub road: Option<RoadVehicle>,
    /// The opening of the throttle that the file describes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub snap: Option<SnapPlan>,
    /// Fuel supply, if the file has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supply: Option<Supply>,
    /// The texts it was read from.
    #[serde(skip)]
    pub(super) texts: Texts,
}

impl Setup {
    /// The same set-up with the estimate of `key` moved to one end of its range; other estimates follow their rules.
    ///
    /// # Errors
    /// No such estimate, or a machine that does not fit together at that end.
    pub fn with_estimate_at(&self, key: &str, end: End) -> Result<Self, Report> {
        if self.estimates().any(|p| p.key == key) {
            return assemble(&self.texts, Some((key.into(), end))).map(|w| w.value);
        }
        let given = self.provenance.iter().any(|p| p.key == key);
        let problem = if given {
            Problem::error(format!("`{key}` is given, not estimated, and has no range"))
        } else {
            Problem::error(format!("no value is called `{key}`"))
        };
        let near = nearest(key, self.estimates().map(|p| p.key.as_str()));
        Err(Report::one(match near {
            Some(near) => problem.help(format!("did you mean `{near}`?")),
            None => problem,
        }))
    }

    /// Values that a rule gave, in the order of reading.
    pub fn estimates(&self) -> impl Iterator<Item = &Provenance> {
        self.provenance.iter().filter(|p| p.estimate().is_some())
    }

    /// The set-up with the origin of each value, for the record beside a result.
    #[must_use]
    pub fn to_json(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or(serde_json::Value::Null)
    }
}
