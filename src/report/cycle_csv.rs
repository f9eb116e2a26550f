//! One cycle as CSV text: one row per crank angle.

use super::ReportError;
use super::number::exact;
use crate::study::cycle::CycleResult;

/// Heads of the columns; later ones join at the end.
pub const COLUMNS: [&str; 12] = [
    "crank_deg",
    "nozzle_pa",
    "manifold_pa",
    "cylinder_pa",
    "slide_air_g_s",
    "nozzle_air_speed",
    "fuel_main_g_s",
    "fuel_pilot_g_s",
    "inlet_lift_m",
    "exhaust_lift_m",
    "fuel_starter_g_s",
    "piston_lift_m",
];

/// The traces as CSV text. A trace that is shorter than the crank angle leaves empty cells.
///
/// # Errors
/// The rows could not be written.
pub fn cycle_csv(cycle: &CycleResult) -> Result<String, ReportError> {
    let failed = |e: csv::Error| ReportError::Csv(e.to_string());
    let t = &cycle.traces;
    let columns = [
        &t.crank_deg,
        &t.nozzle_pa,
        &t.manifold_pa,
        &t.cylinder_pa,
        &t.slide_air_g_s,
        &t.nozzle_air_speed,
        &t.fuel_main_g_s,
        &t.fuel_pilot_g_s,
        &t.inlet_lift_m,
        &t.exhaust_lift_m,
        &t.fuel_starter_g_s,
        &t.piston_lift_m,
    ];
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(failed)?;
    for row in 0..t.crank_deg.len() {
        let cells = columns.map(|c| c.get(row).copied().map(exact).unwrap_or_default());
        writer.write_record(cells).map_err(failed)?;
    }
    let bytes = writer.into_inner().map_err(|e| ReportError::Csv(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| ReportError::Csv(e.to_string()))
}
