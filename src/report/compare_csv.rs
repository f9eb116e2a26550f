//! A comparison as CSV text: one row per set-up, way of jetting, throttle and speed.

use super::ReportError;
use super::map_csv::{COLUMNS, row};
use super::number::exact_or_empty;
use crate::study::compare::{CompareResult, Fitted};

/// Heads of the columns behind those of a map: how it is jetted, the jets, and what the bore makes of the air.
pub const MORE: [&str; 6] = ["jetting", "main_jet", "clip", "pilot_jet", "stroke_mean_air_speed", "peak_mach"];

/// The comparison as CSV text (RFC 4180 with line feeds): `setup`, the columns of `map.csv`, then [`MORE`].
///
/// # Errors
/// The rows could not be written.
pub fn compare_csv(result: &CompareResult) -> Result<String, ReportError> {
    let failed = |e: csv::Error| ReportError::Csv(e.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["setup"].iter().chain(&COLUMNS).chain(&MORE)).map_err(failed)?;
    let ways = [("as_given", Some(&result.as_given)), ("same_mixture", result.same_mixture.as_ref())];
    let all = ways.into_iter().flat_map(|(way, list)| list.into_iter().flatten().map(move |f| (way, f)));
    for (way, fitted) in all {
        for record in rows(way, fitted) {
            writer.write_record(record).map_err(failed)?;
        }
    }
    let bytes = writer.into_inner().map_err(|e| ReportError::Csv(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| ReportError::Csv(e.to_string()))
}

fn rows(way: &str, fitted: &Fitted) -> Vec<Vec<String>> {
    let record = |p: &crate::study::compare::ComparePoint| {
        let mut record = vec![fitted.name.clone()];
        record.extend(row(&p.point.clone().sound()));
        record.push(way.to_owned());
        record.extend(fitted.jets.clone());
        record.extend([exact_or_empty(p.stroke_mean_air_speed), exact_or_empty(p.peak_mach)]);
        record
    };
    fitted.quarter.iter().chain(&fitted.full).map(record).collect()
}
