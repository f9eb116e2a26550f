//! What `check` says of the accelerator pump.

use crate::report::number::rounded;
use crate::report::prose::wrapped;
use crate::report::table::table;
use crate::study::pump_bench::{PumpSheet, QUICK};

/// The pump's sheet: ten strokes in words, then the squirt against the time of the twist.
#[must_use]
pub fn pump_text(sheet: &PumpSheet) -> String {
    let cc = |volume: f64, decimals: usize| rounded(Some(1e6 * volume), decimals);
    let seconds = |time: f64| rounded(Some(time), 2);
    let duration = sheet.squirts.first().map_or(0.0, |s| s.duration);
    let said = format!(
        "Accelerator pump on the bench: ten strokes give {} cc, a squirt of {} s after a twist of {QUICK} s. Suction above {} \
         kPa at its nozzle draws fuel without a twist. The map does not move it.",
        cc(sheet.ten_strokes, 1),
        rounded(Some(duration), 1),
        rounded(Some(1e-3 * sheet.siphons_above), 2),
    );
    let heads = ["twist s", "squirt cc", "begins s", "lasts s", "leak jet's share"].map(String::from);
    let rows: Vec<Vec<String>> = sheet
        .squirts
        .iter()
        .map(|s| {
            let share = format!("{} %", rounded(Some(100.0 * s.swallowed()), 0));
            vec![seconds(s.twist), cc(s.volume, 3), seconds(s.begins), seconds(s.duration), share]
        })
        .collect();
    wrapped("", "  ", &said) + &table(&heads, &rows)
}
