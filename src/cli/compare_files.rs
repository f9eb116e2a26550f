//! The files of a comparison.

use std::path::PathBuf;

use super::ending::Failure;
use crate::plot::carburettors::carburettors_in;
use crate::report::{Sink, compare_csv, compare_json};
use crate::study::compare::CompareResult;
use crate::units::Units;

/// The files of a comparison that was stopped before all were run: numbers only, under names of their own, so that a
/// whole one of an earlier run stays.
const PARTIAL: [&str; 2] = ["compare.partial.csv", "compare.partial.json"];

/// Writes numbers first, then pictures.
///
/// # Errors
/// [`Failure::Write`] that names the file and the cause.
pub fn write(sink: &Sink, result: &CompareResult, units: &Units) -> Result<Vec<PathBuf>, Failure> {
    let names = if result.interrupted { PARTIAL } else { ["compare.csv", "compare.json"] };
    let mut written = vec![
        sink.write(names[0], compare_csv(result)?.as_bytes())?,
        sink.write(names[1], compare_json(result)?.as_bytes())?,
    ];
    if result.interrupted {
        return Ok(written);
    }
    written.push(sink.write("as_given.png", &carburettors_in(&result.as_given, "Each with its own jets", units)?)?);
    if let Some(same) = &result.same_mixture {
        let what = "Each with main jet, clip and pilot jet brought to the same mixture, the middle of the wanted band";
        written.push(sink.write("same_mixture.png", &carburettors_in(same, what, units)?)?);
    }
    for name in PARTIAL {
        sink.remove(name)?;
    }
    Ok(written)
}
