//! How a carburettor fits its engine, as text of 80 columns.

use crate::report::number::rounded;
use crate::report::prose::wrapped;
use crate::report::table::table;
use crate::study::fitment::{ASSUMED_FILLING, Fitment, Passages};
use crate::study::fraction::throttle_name;

/// What follows from the dimensions alone: displacement, air speeds, and the passages over the slide's lift.
#[must_use]
pub fn fitment_text(fitment: &Fitment) -> String {
    let heads = ["throttle", "open area", "needle mm", "annulus mm2", "main jet/annulus"].map(str::to_owned);
    let rows: Vec<Vec<String>> = fitment.passages.iter().map(row).collect();
    let air = format!(
        "at {} rpm, filling {ASSUMED_FILLING} assumed, mean over the intake stroke: {} m/s in the open bore, {} m/s in the \
         throats of the inlet valves. As a rough reading of the first, common practice: below 60 m/s lazy at low speed, 75 to \
         100 the usual range of a road engine, above 120 choking.",
        rounded(Some(fitment.rpm), 0),
        rounded(Some(fitment.bore_air_speed), 0),
        rounded(Some(fitment.port_air_speed), 0)
    );
    let size = format!(
        "swept volume {} cm3; mean piston speed {} m/s at {} rpm; bore over inlet throats {} by area",
        rounded(Some(1e6 * fitment.swept_volume), 0),
        rounded(Some(fitment.mean_piston_speed), 1),
        rounded(Some(fitment.rpm), 0),
        rounded(Some(fitment.bore_over_port), 2)
    );
    let hint = "Where the last column is below 1 the main jet is the smaller hole, and the needle has little say.";
    let prose = |text: &str| wrapped("  ", "    ", text);
    let heading = "From the dimensions alone\n";
    [heading, &prose(&size), &prose(&air), "\n", &table(&heads, &rows), &wrapped("", "", hint)].concat()
}

fn row(passages: &Passages) -> Vec<String> {
    vec![
        throttle_name(passages.throttle),
        format!("{} %", rounded(Some(100.0 * passages.open_share), 0)),
        rounded(Some(1e3 * passages.needle_diameter), 3),
        rounded(Some(1e6 * passages.annulus_area), 3),
        rounded(passages.main_jet_share, 2),
    ]
}
