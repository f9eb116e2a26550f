//! What the jug tests say, as text.

use super::prose::wrapped;
use super::supply_text::{cc_min, mm, tank_words};
use crate::setup::JugEnd;
use crate::study::supply::{JugReading, Measured, SupplyResult};

/// The tests and what follows; what to test if there is none.
#[must_use]
pub(super) fn jug(result: &SupplyResult) -> String {
    let Some(measured) = &result.measured else {
        let text = "No jug test yet. Two of them split the supply: fuel out of the hose's end, and out of the bowl's drain (float hanging), \
                    each into a jug for some minutes, cap shut: [[supply.jug_test]] with at, volume, time and head.";
        return wrapped("", "  ", text);
    };
    let mut out = "Jug tests\n".to_owned();
    for r in &measured.readings {
        out += &wrapped("  ", "    ", &reading(r));
    }
    for text in sentences(measured, result) {
        out += &wrapped("  ", "    ", &text);
    }
    out
}

fn reading(r: &JugReading) -> String {
    let at = match r.at {
        JugEnd::HoseEnd => "hose end",
        JugEnd::BowlDrain => "bowl drain",
    };
    let beside = match (r.agrees(), r.flow < r.described) {
        (true, _) => "as described",
        (false, true) => "less than described",
        (false, false) => "more than described",
    };
    format!(
        "{at}, head {} mm: {} cc/min, like a hole of {} mm; by the description {} cc/min: {beside}",
        mm(r.head, 0),
        cc_min(r.flow),
        mm(r.effective_bore, 2),
        cc_min(r.described)
    )
}

fn sentences(m: &Measured, result: &SupplyResult) -> Vec<String> {
    let mut said = Vec::new();
    if m.line_limits {
        said.push(
            "as much ran out of the drain as the line is said to pass: the inlet takes next to nothing, or one of the tests went wrong"
                .to_owned(),
        );
    }
    if let Some(inlet) = m.inlet_bore {
        let seat = mm(m.seat_bore, 2);
        said.push(match m.fitting_bore {
            Some(fitting) if fitting < 1.2 * m.seat_bore => format!(
                "the inlet passes like a hole of {} mm; the seat alone would be one of {seat}, so the fitting is one of {}: look there",
                mm(inlet, 2),
                mm(fitting, 2)
            ),
            Some(fitting) => format!(
                "the inlet passes like a hole of {} mm, most of it the needle's seat ({seat}); the fitting is one of {} mm",
                mm(inlet, 2),
                mm(fitting, 2)
            ),
            None => format!(
                "the inlet passes like a hole of {} mm, more than the seat as described ({seat}): it is larger or lifts further",
                mm(inlet, 2)
            ),
        });
    } else if m.line_bore.is_some() && !m.line_limits {
        said.push(
            "the hose's end alone says nothing of inlet and needle: drain the bowl into the jug as well".to_owned(),
        );
    }
    if let Some(line) = m.line_bore {
        said.push(format!("tank to hose end passes like a hole of {} mm", mm(line, 2)));
    }
    for l in &result.limits {
        if let Some(speed) = l.road_speed_m_s {
            let text = if l.road_all { "every road speed looked at".to_owned() } else { result.speed_unit.both(speed) };
            said.push(format!("with that, {}: {text} can be held", tank_words(&l.tank)));
        }
    }
    said
}
