//! What one step of each part does as CSV text: a row for each point and part, in the order of grid and parts.

use super::ReportError;
use super::csv_text::text_cell;
use super::number::{exact, exact_or_empty};
use crate::study::steps_result::{Fuelling, StepsResult};

/// Heads of the columns: `mixture` is fuel metered over air, `fuel` all fuel metered; `up` is one step the richer way.
pub const COLUMNS: [&str; 26] = [
    "throttle",
    "rpm",
    "part",
    "setting",
    "step",
    "mixture_percent",
    "mixture_up_percent",
    "mixture_down_percent",
    "fuel_percent",
    "fuel_up_percent",
    "fuel_down_percent",
    "share",
    "afr",
    "afr_up",
    "afr_down",
    "afr_metered",
    "afr_metered_up",
    "afr_metered_down",
    "fuel_g_s",
    "fuel_g_s_up",
    "fuel_g_s_down",
    "torque_nm",
    "torque_nm_up",
    "torque_nm_down",
    "note_up",
    "note_down",
];

/// The steps as CSV text; a run that is not periodic leaves its cells empty, its note says why.
///
/// # Errors
/// The rows could not be written.
pub fn steps_csv(steps: &StepsResult) -> Result<String, ReportError> {
    let failed = |e: csv::Error| ReportError::Csv(e.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(failed)?;
    for point in &steps.points {
        let base = Fuelling::of(&point.base);
        for (effect, row) in point.parts.iter().zip(&steps.parts) {
            let mut cells = vec![exact(point.base.throttle), exact(point.base.rpm), effect.part.key().to_owned()];
            cells.extend([text_cell(&row.setting), text_cell(&row.step)]);
            for change in [effect.mixture, effect.fuel] {
                cells.extend([change.per_step, change.up, change.down].map(exact_or_empty));
            }
            cells.push(exact_or_empty(effect.share));
            let figures: [fn(&Fuelling) -> Option<f64>; 4] =
                [|f| f.afr, |f| f.afr_metered, |f| f.fuel_g_s, |f| f.torque_nm];
            for figure in figures {
                cells.extend(
                    [&base, &effect.up, &effect.down].map(|f| exact_or_empty(figure(f).filter(|_| f.converged))),
                );
            }
            cells.extend([&effect.up, &effect.down].map(|run| text_cell(&note(run))));
            writer.write_record(cells).map_err(failed)?;
        }
    }
    let bytes = writer.into_inner().map_err(|e| ReportError::Csv(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| ReportError::Csv(e.to_string()))
}

/// Why a run has no numbers, or what went wrong in it.
fn note(run: &Fuelling) -> String {
    run.note.clone().unwrap_or_else(|| if run.converged { String::new() } else { "not converged".to_owned() })
}
