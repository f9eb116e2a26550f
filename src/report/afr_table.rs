//! AFR over throttle and speed as a table of at most 80 columns.

use super::number::rounded;
use super::prose::wrapped;
use super::table::table;
use crate::study::fraction::throttle_name;
use crate::study::map::MapResult;
use crate::study::point::PointResult;
use crate::study::selection::spread;
use crate::study::verdict::Verdict;

/// Most speeds in a row.
const SPEEDS: usize = 8;

/// The table with what its marks mean.
#[must_use]
pub fn afr_table(map: &MapResult) -> String {
    let shown = spread(map.grid.speeds.len(), SPEEDS);
    let speeds: Vec<f64> = shown.into_iter().filter_map(|i| map.grid.speeds.get(i)).copied().collect();
    let mut heads = vec!["throttle".to_owned()];
    // the blank stands over the mark
    heads.extend(speeds.iter().map(|rpm| rounded(Some(*rpm), 0) + " "));
    let row = |throttle: &f64| {
        let mut row = vec![throttle_name(*throttle)];
        row.extend(speeds.iter().map(|rpm| cell(map, map.at(*throttle, *rpm))));
        row
    };
    let rows: Vec<Vec<String>> = map.grid.throttles.iter().map(row).collect();
    let mut out = String::from("AFR by throttle (down) and speed in rpm (across)\n\n");
    out += &table(&heads, &rows);
    out.push('\n');
    out += &wrapped("", "", "> leaner, < richer than wanted; ~ did not fire; * not converged, do not rely on it;");
    out +=
        &wrapped("", "", "nil: no fuel; fail: gave no number; . not computed; no mark: as wanted, or nothing stated");
    if map.grid.speeds.len() > speeds.len() {
        let text = format!("{} of {} speeds shown; the files hold all", speeds.len(), map.grid.speeds.len());
        out += &wrapped("", "", &text);
    }
    out
}

/// AFR and one mark; at most seven columns.
fn cell(map: &MapResult, point: Option<&PointResult>) -> String {
    let Some(point) = point else { return ". ".to_owned() };
    let number = match point.afr.filter(|a| a.is_finite()) {
        Some(afr) if afr.abs() >= 9999.95 => ">9999".to_owned(),
        Some(afr) => rounded(Some(afr), usize::from(afr.abs() < 999.95)),
        None if point.converged => "nil".to_owned(),
        None => "fail".to_owned(),
    };
    let mark = match Verdict::of_point(map, point) {
        _ if !point.converged => '*',
        _ if !point.fired => '~',
        Verdict::Leaner(_) => '>',
        Verdict::Richer(_) => '<',
        _ => ' ',
    };
    format!("{number}{mark}")
}
