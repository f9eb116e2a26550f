//! What tests with jug and watch say: the effective hole of the line and of the inlet.
//!
//! From the hose's end: `A = Q / sqrt(2 g H)`, discharge coefficient times area of everything up to there. From the bowl's drain the line's loss
//! at that flow is taken off the head first; what is left drives the flow through fitting and needle. The effective hole is the plain
//! drilled one, coefficient 0.6, that passes the same (common practice). Several tests of a kind are averaged by area.

use serde::{Deserialize, Serialize};

use super::network::Network;
use crate::hardware::supply_line::{Fluid, Inlet, SupplyLine, effective_bore};
use crate::laws::orifice;
use crate::media::atmosphere::G0;
use crate::setup::{JugEnd, JugTest};

/// Bore of a fitting that takes no head to speak of [m].
const WIDE: f64 = 20e-3;
/// Share of the flow within which measurement and description agree [-]: 2 % of volume, 1 % of time, 3 % of head and the coefficients of
/// the description. Common practice.
const AGREES: f64 = 0.15;

/// One test beside what the description gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JugReading {
    /// Where the fuel ran out.
    pub at: JugEnd,
    /// Head [m].
    pub head: f64,
    /// Flow measured [m3/s].
    pub flow: f64,
    /// Flow by the description [m3/s].
    pub described: f64,
    /// Bore of the plain hole that passes the same under this head [m].
    pub effective_bore: f64,
}

impl JugReading {
    /// Whether the description gives the same within the error of such a test.
    #[must_use]
    pub fn agrees(&self) -> bool {
        (self.flow / self.described - 1.0).abs() <= AGREES
    }
}

/// What the tests say of the supply.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measured {
    /// Each test.
    pub readings: Vec<JugReading>,
    /// Effective hole of everything up to the hose's end [m].
    pub line_bore: Option<f64>,
    /// Effective hole of inlet fitting and open needle [m].
    pub inlet_bore: Option<f64>,
    /// Effective hole of the fitting alone [m], the seat being as described.
    pub fitting_bore: Option<f64>,
    /// Effective hole of the seat as described, wide open [m].
    pub seat_bore: f64,
    /// The bowl's drain passed as much as the line is said to: the line limits, or a test went wrong.
    pub line_limits: bool,
    /// The supply with what was measured in place of what was described.
    pub line: SupplyLine,
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Reads `tests` against the described `line`; none without a test.
#[must_use]
pub fn measured(line: &SupplyLine, tests: &[JugTest], fuel: Fluid, air: Fluid) -> Option<Measured> {
    if tests.is_empty() {
        return None;
    }
    let described = Network::new(line, fuel, air, true);
    let area = |flow: f64, head: f64| flow / (2.0 * G0 * head).sqrt();
    let reading = |t: &JugTest| JugReading {
        at: t.at,
        head: t.head,
        flow: t.flow,
        described: match t.at {
            JugEnd::HoseEnd => described.hose_end(t.head),
            JugEnd::BowlDrain => described.most(t.head),
        },
        effective_bore: effective_bore(area(t.flow, t.head)),
    };
    let of = |end: JugEnd| tests.iter().filter(move |t| t.at == end);
    let line_area = mean(&of(JugEnd::HoseEnd).map(|t| area(t.flow, t.head)).collect::<Vec<_>>());
    let with_line = SupplyLine { measured_line: line_area, ..*line };
    let network = Network::new(&with_line, fuel, air, true);
    let mut line_limits = false;
    let mut inlet_areas = Vec::new();
    for test in of(JugEnd::BowlDrain) {
        let left = network.drive(test.head) - network.lost_in_line(test.flow);
        if left > 0.02 * network.drive(test.head) {
            inlet_areas.push(orifice::effective_area(fuel.density, left, fuel.density * test.flow));
        } else {
            line_limits = true;
        }
    }
    let inlet_area = mean(&inlet_areas);
    let seat = line.needle.effective_area(line.needle.lift);
    let fitting_area = inlet_area.filter(|a| *a < seat).map(|a| 1.0 / (1.0 / (a * a) - 1.0 / (seat * seat)).sqrt());
    let mut fitted = with_line;
    if let Some(area) = inlet_area {
        fitted.inlet = Inlet::Effective { bore: fitting_area.map_or(WIDE, effective_bore).min(WIDE) };
        if fitting_area.is_none() {
            // more than the seat was said to pass
            fitted.needle.discharge *= area / seat;
        }
    }
    Some(Measured {
        readings: tests.iter().map(reading).collect(),
        line_bore: line_area.map(effective_bore),
        inlet_bore: inlet_area.map(effective_bore),
        fitting_bore: fitting_area.map(effective_bore),
        seat_bore: effective_bore(seat),
        line_limits,
        line: fitted,
    })
}
