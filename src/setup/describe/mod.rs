//! What a set-up says, what was estimated, and what follows from both before anything is run: plain values, no printing.

mod areas;
mod figures;
mod jets;
mod road;
mod speeds;

use serde::Serialize;

pub use areas::{NeedleRow, ValveRow};
pub use figures::Derived;
pub use jets::JetRow;
pub use road::RoadRow;
pub use speeds::{ASSUMED_FILLING, SpeedRow, row as air_speed};

use super::cautions::CAUTIONS;
use super::flow_test::FlowTest;
use super::provenance::Provenance;
use super::setup::Setup;
use super::targets::TargetBand;
use crate::diagnostics::Problem;

/// A set-up laid open.
#[derive(Debug, Clone, Serialize)]
pub struct Description {
    /// What the set-up is called.
    pub name: String,
    /// Values that the file gives.
    pub given: Vec<Provenance>,
    /// Values that a rule gave, each with its rule, source and range.
    pub estimated: Vec<Provenance>,
    /// Single figures that follow.
    pub derived: Vec<Derived>,
    /// Inlet valve areas against lift.
    pub inlet_valve: Vec<ValveRow>,
    /// Ring between needle and needle jet against slide lift.
    pub needle: Vec<NeedleRow>,
    /// Air speed at full throttle against rpm, at [`ASSUMED_FILLING`].
    pub air_speed: Vec<SpeedRow>,
    /// Jets in both families of numbers.
    pub jets: Vec<JetRow>,
    /// Jets that were tested at home, and what the numbers on them mean.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub flow_tests: Vec<FlowTest>,
    /// What the road takes, if the file has a vehicle.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub road: Vec<RoadRow>,
    /// Wanted mixture by throttle.
    pub targets: Vec<TargetBand>,
    /// Whether the file gives the wanted mixture; else the trade's usual one stands.
    pub targets_given: bool,
    /// What is unlikely: message and place.
    pub warnings: Vec<String>,
    /// The usual cautions.
    pub cautions: &'static str,
}

/// Lays `setup` open; `warnings` are those that came with it.
#[must_use]
pub fn describe(setup: &Setup, warnings: &[Problem]) -> Description {
    let (estimated, given) = setup.provenance.iter().cloned().partition(|p| p.estimate().is_some());
    Description {
        name: setup.name.clone(),
        given,
        estimated,
        derived: figures::derived(&setup.machine),
        inlet_valve: areas::valve_rows(&setup.machine.engine.inlet_valve),
        needle: areas::needle_rows(&setup.machine.carburettor),
        air_speed: speeds::rows(&setup.machine),
        jets: jets::rows(&setup.machine),
        flow_tests: setup.flow_tests.clone(),
        road: road::rows(setup),
        targets: setup.targets.clone(),
        targets_given: setup.provenance.iter().any(|p| p.key.starts_with("targets")),
        warnings: warnings.iter().map(line).collect(),
        cautions: CAUTIONS,
    }
}

/// A problem on one line: place, message, what was received, what is usual.
fn line(problem: &Problem) -> String {
    let place = problem.place.as_ref().map(|p| format!("{}: ", p.short())).unwrap_or_default();
    let label = if problem.label.is_empty() { String::new() } else { format!(": {}", problem.label) };
    let help = problem.help.as_ref().map(|h| format!(" ({h})")).unwrap_or_default();
    format!("{place}{}{label}{help}", problem.message)
}
