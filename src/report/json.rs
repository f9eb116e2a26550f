//! Whole results as JSON text, `"schema"` first. Additions do not change the number; a number that is not finite is
//! `null`.

use serde::Serialize;

use super::ReportError;
use crate::study::cycle::CycleResult;
use crate::study::map::MapResult;
use crate::study::point::PointResult;
use crate::study::rejet::result::RejetResult;

/// A map as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn map_json(map: &MapResult) -> Result<String, ReportError> {
    let mut map = map.clone();
    map.points.iter_mut().for_each(drop_senseless);
    if let Some(steps) = &mut map.steps {
        steps.points.iter_mut().map(|p| &mut p.base).chain(&mut steps.small).for_each(drop_senseless);
    }
    text(&map)
}

/// One operating point with its traces as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn cycle_json(cycle: &CycleResult) -> Result<String, ReportError> {
    let mut cycle = cycle.clone();
    drop_senseless(&mut cycle.point);
    text(&cycle)
}

/// A choice of parts as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn rejet_json(rejet: &RejetResult) -> Result<String, ReportError> {
    let mut rejet = rejet.clone();
    rejet.before.iter_mut().chain(&mut rejet.after).for_each(drop_senseless);
    text(&rejet)
}

fn text(result: &impl Serialize) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(result).map_err(|e| ReportError::Json(e.to_string()))?;
    Ok(text + "\n")
}

/// Takes out values that are not finite, as [`PointResult::sound`] says.
fn drop_senseless(point: &mut PointResult) {
    *point = point.clone().sound();
}
