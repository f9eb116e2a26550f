//! The starter enrichener: a fuel circuit with air of its own, opened by a plunger.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::carburettor::Passage;
use super::jet::Jet;

/// Starter jet, its well, its air, the plunger and the outlet behind the slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Starter {
    /// Starter jet, in the bowl.
    pub jet: Jet,
    /// Passage that brings its air from the mouth's side.
    pub air: Jet,
    /// Drilling from the plunger's chamber into the bore behind the slide.
    pub outlet: Jet,
    /// Travel of the plunger over the travel that clears its ports [-], 0 shut to 1 open. The fuel's own way is clear as soon as it is
    /// not shut.
    pub open: f64,
    /// Fuel passage, the well, from the jet to the plunger's chamber.
    pub well: Passage,
    /// Height of the well's upper end above the floor of the bore [m].
    pub rise: f64,
    /// Volume of the plunger's chamber, where fuel and air meet [m3].
    pub chamber: f64,
}

impl Starter {
    /// Share of air port and outlet that the plunger leaves open [-]: its straight edge crosses two round ports from side to side on
    /// the same travel, `[acos(1 - 2x) - 2 (1 - 2x) sqrt(x - x^2)] / pi` at the travel `x`.
    ///
    /// Source: geometry of a straight edge across a circle, exact; that both ports clear together is common practice.
    #[must_use]
    pub fn uncovered(&self) -> f64 {
        let x = self.open.clamp(0.0, 1.0);
        let edge = 1.0 - 2.0 * x;
        ((libm::acos(edge) - 2.0 * edge * (x - x * x).sqrt()) / PI).clamp(0.0, 1.0)
    }

    /// Whether anything passes the plunger.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.uncovered() > 0.0
    }
}
