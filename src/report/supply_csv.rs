//! The level and the flows against time as CSV.

use super::ReportError;
use super::number::{exact, exact_or_empty};
use crate::study::supply::{Phase, SupplyResult};

/// Columns, in this order; later ones join at the end.
const HEAD: [&str; 8] =
    ["tank", "phase", "t_s", "below_level_m", "supply_m3_s", "engine_m3_s", "lambda", "tank_depression_pa"];

/// The rides as CSV text.
///
/// # Errors
/// The text could not be put together.
pub fn supply_csv(result: &SupplyResult) -> Result<String, ReportError> {
    let failed = |e: &dyn std::fmt::Display| ReportError::Csv(e.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEAD).map_err(|e| failed(&e))?;
    for tank in &result.held.rides {
        for p in &tank.ride.trace {
            let phase = match p.phase {
                Phase::Held => "held",
                Phase::Dry => "dry",
                Phase::Eased => "eased",
            };
            let row = [
                tank.tank.clone(),
                phase.to_owned(),
                exact(p.t),
                exact(p.fall),
                exact(p.supply),
                exact(p.engine),
                exact_or_empty(p.lambda),
                exact(p.depression),
            ];
            writer.write_record(row).map_err(|e| failed(&e))?;
        }
    }
    let bytes = writer.into_inner().map_err(|e| failed(&e))?;
    String::from_utf8(bytes).map_err(|e| failed(&e))
}
