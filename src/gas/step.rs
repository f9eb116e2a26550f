//! A step of area inside a duct: solved as a face, with the waves of both sides.
//!
//! Towards the wider side the stream fills the narrow area and expands suddenly (Borda-Carnot, `(1 - s)^2` heads); towards the
//! narrow side it contracts to `A_s / (1 + sqrt(zeta))` and expands again, which loses `zeta = 0.5 (1 - s)^(3/4)` heads of the
//! narrow side. Sources: Borda-Carnot, exact for uniform profiles; Idelchik, diagram 3-9 (from memory).

use super::exchange::EndFlux;
use super::face::{FaceFlow, Trend, loss_area, restriction};
use super::trace::{Side, Trace};
use crate::laws::loss::sudden_contraction;

/// A step between the cells `face - 1` and `face`.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Index of the face.
    pub face: usize,
    /// Area before and behind it [m2].
    pub area: (f64, f64),
    /// Effective throat for flow along +x and against it [m2].
    throat: (f64, f64),
    trend: Trend,
}

impl Step {
    /// A step at `face` from area `before` to area `behind` [m2].
    #[must_use]
    pub fn new(face: usize, before: f64, behind: f64) -> Self {
        let narrow = before.min(behind);
        let contracted = loss_area(narrow, sudden_contraction(narrow / before.max(behind)));
        let throat = if before > behind { (contracted, narrow) } else { (narrow, contracted) };
        Self { face, area: (before, behind), throat, trend: Trend::default() }
    }

    /// Fluxes on both sides along +x, and the solved face.
    pub fn solve(&mut self, before: Trace, behind: Trace) -> (EndFlux, EndFlux, FaceFlow) {
        let (forward, back) = self.throat;
        let flow = restriction(&Side::Duct(before), &Side::Duct(behind), forward, back, self.trend.next());
        self.trend.push(flow.start);
        let (sign, carried) = if flow.from_a { (1.0, before.composition) } else { (-1.0, behind.composition) };
        let left = EndFlux::of_face(&flow, flow.from_a, self.area.0, sign, carried);
        let right = EndFlux::of_face(&flow, !flow.from_a, self.area.1, sign, carried);
        (left, right, flow)
    }
}
