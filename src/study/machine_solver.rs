//! The point function of a map: one machine, its throttle and speed as asked.

use super::point::{self, PointResult};
use super::sweep::PointSolver;
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;

/// Solves the operating points of one machine.
#[derive(Debug, Clone)]
pub struct MachineSolver {
    /// The machine.
    pub machine: Machine,
    /// How finely and how long.
    pub settings: Settings,
}

impl PointSolver for MachineSolver {
    type State = point::RigState;

    fn solve(&self, throttle: f64, rpm: f64, parents: &[Self::State]) -> (PointResult, Option<Self::State>) {
        point::solve_from(&self.machine, throttle, rpm, parents, &self.settings, &|| true)
    }
}
