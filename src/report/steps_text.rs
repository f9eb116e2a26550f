//! What one step of each part does, as tables of at most 80 columns.

use super::number::rounded;
use super::prose::wrapped;
use super::table::table;
use crate::study::fraction::throttle_name;
use crate::study::selection::spread;
use crate::study::steps_result::{PartEffect, StepsPoint, StepsResult};

/// Most throttles in a row.
const THROTTLES: usize = 9;
/// Throttles of the trade that are shown of many [-].
const USUAL: [f64; THROTTLES] = [0.0625, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];

/// A table for each speed, and what the steps are.
#[must_use]
pub fn steps_text(steps: &StepsResult) -> String {
    let mut out = String::new();
    for rpm in &steps.grid.speeds {
        let points: Vec<&StepsPoint> = steps.at_speed(*rpm).collect();
        let shown = shown(&points);
        let text = format!(
            "What one step does at {} rpm: change of the metered fuel over air in per cent, by part (down) and throttle (across)",
            rounded(Some(*rpm), 0)
        );
        out += &wrapped("", "", &text);
        out.push('\n');
        let mut heads = vec!["part".to_owned()];
        // the blank stands over the mark
        heads.extend(shown.iter().map(|p| throttle_name(p.base.throttle) + " "));
        let rows: Vec<Vec<String>> = (0..steps.parts.len())
            .map(|i| {
                let mut row = vec![steps.parts[i].name.clone()];
                row.extend(shown.iter().map(|p| cell(p.parts.get(i))));
                row
            })
            .collect();
        out += &table(&heads, &rows);
        out.push('\n');
        out += &wrapped("", "", "half the difference of one step up and one down; * one side only; - no number");
        if points.len() > shown.len() {
            let text = format!("{} of {} throttles shown; the files hold all", shown.len(), points.len());
            out += &wrapped("", "", &text);
        }
        out.push('\n');
    }
    out += "One step, the richer way\n";
    for row in &steps.parts {
        out += &wrapped("  ", "    ", &format!("{}, {}: {}", row.name, row.setting, row.step));
    }
    out + &hand_over(steps)
}

/// All of few points; of many those at the usual throttles, or evenly spread if few of these were asked for.
fn shown<'a>(points: &[&'a StepsPoint]) -> Vec<&'a StepsPoint> {
    let usual = |p: &&&StepsPoint| USUAL.iter().any(|t| (t - p.base.throttle).abs() < 1e-6);
    let chosen: Vec<&StepsPoint> = points.iter().filter(usual).copied().collect();
    if points.len() > THROTTLES && chosen.len() > THROTTLES / 2 {
        return chosen;
    }
    spread(points.len(), THROTTLES).into_iter().map(|i| points[i]).collect()
}

/// Change with its sign and a mark; at most seven columns.
fn cell(effect: Option<&PartEffect>) -> String {
    let Some(change) = effect.map(|e| e.mixture) else { return "- ".to_owned() };
    let Some(percent) = change.per_step.filter(|p| p.is_finite()) else { return "- ".to_owned() };
    let number = rounded(Some(percent.clamp(-999.0, 999.0)), if percent.abs() < 9.95 { 2 } else { 1 });
    let sign = if percent > 0.0 && number.chars().any(|c| ('1'..='9').contains(&c)) { "+" } else { "" };
    let mark = if change.up.is_some() && change.down.is_some() { ' ' } else { '*' };
    format!("{sign}{number}{mark}")
}

/// Where the main jet takes over, from the parts alone.
fn hand_over(steps: &StepsResult) -> String {
    let [quarter, half, three] = steps.hand_over.quarters.map(|t| t.map(throttle_name));
    let at = |t: Option<String>| t.unwrap_or_else(|| "no lift".to_owned());
    let text = format!(
        "by their areas the main jet has a quarter of the say at {}, half of it at {}, three quarters at {} of full lift",
        at(quarter),
        at(half),
        at(three)
    );
    String::from("\nNeedle jet and main jet in series\n") + &wrapped("  ", "    ", &text)
}
