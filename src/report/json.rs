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

/// Take out values that are not finite.
fn drop_senseless(point: &mut PointResult) {
    let values = [
        &mut point.afr,
        &mut point.lambda,
        &mut point.afr_metered,
        &mut point.ve,
        &mut point.torque_nm,
        &mut point.power_kw,
        &mut point.air_g_s,
        &mut point.fuel_g_s,
        &mut point.fuel_pilot_g_s,
        &mut point.fuel_main_g_s,
        &mut point.fuel_starter_g_s,
        &mut point.standoff_g_s,
        &mut point.nozzle_depression_pa,
        &mut point.manifold_pa,
        &mut point.residual,
        &mut point.standoff_lost_g_s,
        &mut point.residual_gas,
        &mut point.imep_pa,
        &mut point.fmep_pa,
        &mut point.peak_air_speed,
        &mut point.corrected_torque_nm,
        &mut point.corrected_power_kw,
        &mut point.imep_gross_pa,
        &mut point.pmep_pa,
        &mut point.bmep_pa,
        &mut point.trapped_lambda,
        &mut point.exhaust_temperature_k,
        &mut point.fuel_g_kwh,
        &mut point.fuel_l_h,
        &mut point.torque_lost,
        &mut point.lambda_of_best,
        &mut point.piston_lift_m,
    ];
    for value in values {
        *value = value.filter(|v| v.is_finite());
    }
}
