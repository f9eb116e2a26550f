//! A map as CSV text (RFC 4180 with line feeds): one row per point, in the order of the grid.

use super::ReportError;
use super::number::{exact, exact_or_empty};
use crate::study::map::MapResult;
use crate::study::point::PointResult;

/// Heads of the columns. The first nineteen keep their places; later ones join at the end.
pub const COLUMNS: [&str; 37] = [
    "throttle",
    "rpm",
    "afr",
    "lambda",
    "afr_metered",
    "ve",
    "torque_nm",
    "power_kw",
    "air_g_s",
    "fuel_g_s",
    "fuel_pilot_g_s",
    "fuel_main_g_s",
    "fuel_starter_g_s",
    "standoff_g_s",
    "nozzle_depression_pa",
    "manifold_pa",
    "residual",
    "cycles",
    "converged",
    "standoff_lost_g_s",
    "residual_gas",
    "imep_pa",
    "fmep_pa",
    "fired",
    "peak_air_speed",
    "repairs",
    "status",
    "imep_gross_pa",
    "pmep_pa",
    "bmep_pa",
    "trapped_lambda",
    "exhaust_temperature_k",
    "fuel_g_kwh",
    "fuel_l_h",
    "torque_lost",
    "lambda_of_best",
    "piston_lift_m",
];

/// Heads of the columns that stand behind the others when power is corrected to a standard.
pub const CORRECTED: [&str; 2] = ["corrected_torque_nm", "corrected_power_kw"];

/// The map as CSV text.
///
/// # Errors
/// The rows could not be written.
pub fn map_csv(map: &MapResult) -> Result<String, ReportError> {
    let failed = |e: csv::Error| ReportError::Csv(e.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    let corrected = map.correction.is_some();
    let more: &[&str] = if corrected { &CORRECTED } else { &[] };
    writer.write_record(COLUMNS.iter().chain(more)).map_err(failed)?;
    for point in &map.points {
        let point = &point.clone().sound();
        let more = [exact_or_empty(point.corrected_torque_nm), exact_or_empty(point.corrected_power_kw)];
        writer.write_record(row(point).into_iter().chain(more.into_iter().filter(|_| corrected))).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|e| ReportError::Csv(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| ReportError::Csv(e.to_string()))
}

pub(super) fn row(p: &PointResult) -> [String; 37] {
    let cell = exact_or_empty;
    [
        exact(p.throttle),
        exact(p.rpm),
        cell(p.afr),
        cell(p.lambda),
        cell(p.afr_metered),
        cell(p.ve),
        cell(p.torque_nm),
        cell(p.power_kw),
        cell(p.air_g_s),
        cell(p.fuel_g_s),
        cell(p.fuel_pilot_g_s),
        cell(p.fuel_main_g_s),
        cell(p.fuel_starter_g_s),
        cell(p.standoff_g_s),
        cell(p.nozzle_depression_pa),
        cell(p.manifold_pa),
        cell(p.residual),
        p.cycles.to_string(),
        p.converged.to_string(),
        cell(p.standoff_lost_g_s),
        cell(p.residual_gas),
        cell(p.imep_pa),
        cell(p.fmep_pa),
        p.fired.to_string(),
        cell(p.peak_air_speed),
        p.repairs.to_string(),
        p.status.word().replace(' ', "_"),
        cell(p.imep_gross_pa),
        cell(p.pmep_pa),
        cell(p.bmep_pa),
        cell(p.trapped_lambda),
        cell(p.exhaust_temperature_k),
        cell(p.fuel_g_kwh),
        cell(p.fuel_l_h),
        cell(p.torque_lost),
        cell(p.lambda_of_best),
        cell(p.piston_lift_m),
    ]
}
