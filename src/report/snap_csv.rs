//! A snap as CSV text: one row per cycle of each run.

use super::ReportError;
use super::number::{exact, exact_or_empty};
use crate::study::snap::result::{SnapCycle, SnapResult, SnapRun};

/// Heads of the columns; later ones join at the end.
pub const COLUMNS: [&str; 26] = [
    "run",
    "time_s",
    "lasts_s",
    "rpm",
    "throttle",
    "afr",
    "lambda",
    "lambda_wanted",
    "fired",
    "torque_nm",
    "manifold_pa",
    "air_mg",
    "fuel_mg",
    "needed_mg",
    "missing_mg",
    "metered_mg",
    "squirt_mg",
    "leaked_mg",
    "landed_mg",
    "left_mg",
    "film_mg",
    "film_share",
    "film_time_s",
    "film_held",
    "fuel_defect",
    "repairs",
];

/// The runs as CSV text: `without`, `as_given`, `best`.
///
/// # Errors
/// The rows could not be written.
pub fn snap_csv(result: &SnapResult) -> Result<String, ReportError> {
    let failed = |e: csv::Error| ReportError::Csv(e.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(failed)?;
    let runs: [(&str, Option<&SnapRun>); 3] = [
        ("without", Some(&result.without)),
        ("as_given", result.with.as_ref().map(|w| &w.run)),
        ("best", result.tuned.as_ref().map(|t| &t.best.run)),
    ];
    for (name, run) in runs {
        for c in run.into_iter().flat_map(|r| &r.cycles) {
            writer.write_record(row(name, c)).map_err(failed)?;
        }
    }
    let bytes = writer.into_inner().map_err(|e| ReportError::Csv(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| ReportError::Csv(e.to_string()))
}

fn row(name: &str, c: &SnapCycle) -> [String; COLUMNS.len()] {
    [
        name.to_owned(),
        exact(c.time_s),
        exact(c.lasts_s),
        exact(c.rpm),
        exact(c.throttle),
        exact_or_empty(c.afr),
        exact_or_empty(c.lambda),
        exact(c.lambda_wanted),
        c.fired.to_string(),
        exact(c.torque_nm),
        exact(c.manifold_pa),
        exact(c.air_mg),
        exact(c.fuel_mg),
        exact(c.needed_mg),
        exact(c.missing_mg()),
        exact(c.metered_mg),
        exact(c.squirt_mg),
        exact(c.leaked_mg),
        exact(c.landed_mg),
        exact(c.left_mg),
        exact(c.film_mg),
        exact(c.film_share),
        exact(c.film_time_s),
        c.film_held.to_string(),
        exact(c.fuel_defect),
        c.repairs.to_string(),
    ]
}
