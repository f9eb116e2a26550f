//! What a map says on paper: a table of AFR, where the mixture is off, and the best torque, power and filling.

use super::afr_table::afr_table;
use super::findings::bands;
use super::number::rounded;
use super::prose::wrapped;
use super::road_text::road_text;
use super::spots_text::spots_text;
use super::steps_text::steps_text;
use crate::study::fraction::throttle_phrase;
use crate::study::map::MapResult;
use crate::study::point::PointResult;
use crate::units::{Quantity, Units};

/// Most notes about points that failed.
const NOTES: usize = 3;

/// A figure of a point in SI, with its name, quantity and decimals.
type Figure = (&'static str, Option<Quantity>, usize, fn(&PointResult) -> Option<f64>);

/// The whole sheet, no line wider than 80 columns.
#[must_use]
pub fn map_text(map: &MapResult) -> String {
    map_text_in(map, &Units::default())
}

/// The same in other units than metric ones.
#[must_use]
pub fn map_text_in(map: &MapResult, units: &Units) -> String {
    let mut out = wrapped("", "  ", &map.name);
    out.push('\n');
    let parts = [afr_table(map), convergence(map), bands(map), spots_text(map), best(map, units)];
    let steps = map.steps.as_ref().map(steps_text).unwrap_or_default();
    let road = map.road.as_ref().map(road_text).unwrap_or_default();
    for part in parts.iter().chain([&steps, &road]).filter(|p| !p.is_empty()) {
        out += part;
        out.push('\n');
    }
    let caution = "A model's numbers: measure before you trust them. Running lean under load damages engines.";
    out + &wrapped("", "", caution)
}

/// How many points can be relied on, and why others cannot.
fn convergence(map: &MapResult) -> String {
    let asked = map.grid.throttles.len() * map.grid.speeds.len();
    let good = map.points.iter().filter(|p| p.converged).count();
    let mut text = map.standing();
    let (bad, absent) = (map.points.len().saturating_sub(good), asked.saturating_sub(map.points.len()));
    if bad > 0 {
        text += &format!("; {bad} did not converge");
    }
    if absent > 0 {
        text += &format!("; {absent} not computed");
    }
    if map.interrupted {
        text += "; stopped before the end";
    }
    let dry = map.points.iter().filter(|p| p.converged && p.afr.is_none()).count();
    if dry > 0 {
        text += &format!("; {dry} drew no fuel, the leanest of all");
    }
    let mut out = wrapped("", "  ", &text);
    let notes = map.points.iter().filter_map(|p| p.note.as_ref().map(|n| (p, n))).filter(|(_, n)| !n.is_empty());
    for (point, note) in notes.clone().take(NOTES) {
        let place = format!("{}, {} rpm", throttle_phrase(point.throttle), rounded(Some(point.rpm), 0));
        let status = if point.converged { String::new() } else { format!("{}: ", point.status.word()) };
        out += &wrapped("  ", "    ", &format!("{place}: {status}{note}"));
    }
    let rest = notes.count().saturating_sub(NOTES);
    if rest > 0 {
        out += &wrapped("  ", "    ", &format!("and {rest} more; map.json holds the note of each point"));
    }
    out
}

/// Highest torque, power and filling of the whole map.
fn best(map: &MapResult, units: &Units) -> String {
    let figures: [Figure; 3] = [
        ("most torque", Some(Quantity::Torque), 1, |p| p.torque_nm),
        ("most power", Some(Quantity::Power), 1, |p| p.power_kw.map(|p| 1e3 * p)),
        ("best filling", None, 2, |p| p.ve),
    ];
    let mut out = String::new();
    for (name, quantity, decimals, figure) in figures {
        let found = map.points.iter().filter(|p| p.converged);
        let found = found.filter_map(|p| figure(p).filter(|v| v.is_finite()).map(|v| (p, v)));
        let Some((point, most)) = found.max_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        let number = match quantity {
            Some(quantity) => units.text(quantity, Some(most), decimals),
            None => rounded(Some(most), decimals),
        };
        let place = format!("{}, {} rpm", throttle_phrase(point.throttle), rounded(Some(point.rpm), 0));
        out += &wrapped("  ", "    ", &format!("{name} {number} at {place}"));
    }
    if out.is_empty() {
        return out;
    }
    let head = format!("Best of the map (brake figures; friction law: {})", map.friction_form);
    wrapped("", "  ", &head) + &out + &corrected(map, units)
}

/// Torque and power in the air of a standard, if that was asked for.
fn corrected(map: &MapResult, units: &Units) -> String {
    let Some(c) = map.correction else { return String::new() };
    let most = |quantity: Quantity, figure: fn(&PointResult) -> Option<f64>| {
        let values = map.points.iter().filter(|p| p.converged).filter_map(figure).filter(|v| v.is_finite());
        units.text(quantity, values.reduce(f64::max), 1)
    };
    let text = format!(
        "corrected to {}: {} and {}, factor {} from dry air of {} at {}; meant for full throttle",
        c.standard.name(),
        most(Quantity::Torque, |p| p.corrected_torque_nm),
        most(Quantity::Power, |p| p.corrected_power_kw.map(|p| 1e3 * p)),
        rounded(Some(c.factor), 4),
        units.text(Quantity::Pressure, Some(c.dry_pressure_pa), 2),
        units.text(Quantity::Temperature, Some(c.temperature_k), 1)
    );
    wrapped("  ", "    ", &text)
}
