//! What `check` says about jets that were tested at home.

use crate::setup::{Family, FlowTest};

/// One entry: what was measured, the bore that follows, and what the number on the jet is.
#[must_use]
pub fn flow_test_text(test: &FlowTest) -> String {
    let jet = test.key.rsplit('.').next().unwrap_or(&test.key).replace('_', " ");
    let measured = format!(
        "{jet}: {:.1} cc/min of {} at {:.0} degC under {:.0} mm: effective bore {:.3} mm",
        test.flow * 6e7,
        test.liquid,
        test.temperature - 273.15,
        test.head * 1e3,
        test.bore * 1e3
    );
    let Some(stamp) = &test.stamp else { return measured };
    let off = |meant: f64| format!("{:.3} mm ({:+.0} %)", meant * 1e3, 100.0 * (test.bore / meant - 1.0));
    let by_flow = stamp.bore_by_flow.map_or_else(|| "no jet".to_owned(), off);
    let evidence = format!(
        "stamped {}: as hundredths of a millimetre {}, as cc/min of petrol at {:.0} mm {by_flow}; the test's difference \
         in brackets",
        stamp.number,
        off(stamp.bore_by_bore),
        stamp.head * 1e3
    );
    let verdict = match stamp.family {
        Family::Bore => "so the number is the bore".to_owned(),
        Family::Flow => "so the number is a flow".to_owned(),
        Family::Either => "both fit, as the two families agree near 100: test a jet with another number".to_owned(),
        Family::Neither => {
            let widest = stamp.bore_by_flow.map_or(stamp.bore_by_bore, |b| b.max(stamp.bore_by_bore));
            let narrowest = stamp.bore_by_flow.map_or(stamp.bore_by_bore, |b| b.min(stamp.bore_by_bore));
            if test.bore > widest {
                "neither fits, it is wider than both: worn, reamed, or the number of another system".to_owned()
            } else if test.bore < narrowest {
                "neither fits, it is narrower than both: blocked in part, a head too low, or the number of another \
                 system"
                    .to_owned()
            } else {
                format!(
                    "neither fits, it lies between: worn or reamed, a flow at a head of about {:.0} mm, or the number of \
                     another system",
                    stamp.head_of_flow * 1e3
                )
            }
        }
    };
    format!("{measured}; {evidence}; {verdict}")
}
