//! Which part is in charge of the mixture at one operating point: each is moved one step there.

use super::point::{PointResult, RigState};
pub use super::spot_cure::{PARTS, Say};
use super::spot_cure::{one_side, ranked};
use super::spots::Side;
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;

/// The parts by their say at `point`, whose `state` this is, most first; empty if none could be moved.
#[must_use]
pub fn at(machine: &Machine, point: &PointResult, state: RigState, settings: &Settings) -> Vec<Say> {
    let base = (point.clone(), Some(state));
    let sides: Vec<Option<f64>> =
        PARTS.iter().map(|part| one_side(machine, *part, Side::Lean, &base, settings)).collect();
    ranked(&sides)
}
