//! Fuel supply as text of 80 columns: what runs in, where the head goes, what the engine takes, how long it lasts.

use super::ReportError;
use super::number::{per_cent, rounded};
use super::prose::wrapped;
use super::supply_jug_text::jug;
use super::supply_ride_text::ride;
use super::table::table;
use crate::setup::CAUTIONS;
use crate::study::fraction::throttle_phrase;
use crate::study::supply::{DemandPoint, MARGIN, MPH, SupplyResult, TankLimit};

/// The answer as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn supply_json(result: &SupplyResult) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(result).map_err(|e| ReportError::Json(e.to_string()))?;
    Ok(text + "\n")
}

/// The whole sheet.
#[must_use]
pub fn supply_text(result: &SupplyResult) -> String {
    let parts = [
        wrapped("", "  ", &format!("{}: fuel supply from tank to bowl", result.name)),
        limits(result),
        heads(result),
        jug(result),
        demand(result),
        verdicts(result),
        ride(result),
        basis(result),
        cautions(),
    ];
    parts.into_iter().filter(|p| !p.is_empty()).collect::<Vec<_>>().join("\n")
}

/// Flow in cc/min.
#[must_use]
pub(super) fn cc_min(flow: f64) -> String {
    rounded(Some(6e7 * flow), 0)
}

/// Length in millimetres.
#[must_use]
pub(super) fn mm(metres: f64, decimals: usize) -> String {
    rounded(Some(1e3 * metres), decimals)
}

/// `70 mph (113 km/h)`.
#[must_use]
pub(super) fn road_speed(speed: f64) -> String {
    format!("{} mph ({} km/h)", rounded(Some(speed / MPH), 0), rounded(Some(3.6 * speed), 0))
}

fn headed(heading: &str, heads: &[&str], rows: &[Vec<String>]) -> String {
    wrapped("", "  ", heading) + &table(&heads.iter().map(|h| (*h).to_owned()).collect::<Vec<_>>(), rows)
}

fn limits(result: &SupplyResult) -> String {
    let row = |l: &TankLimit| {
        vec![
            l.tank.clone(),
            mm(l.head, 0),
            cc_min(l.hose_end),
            cc_min(l.into_bowl),
            mm(l.effective_bore, 2),
            l.over_full_throttle.map_or("-".to_owned(), per_cent),
        ]
    };
    let heads = ["tank", "head mm", "hose cc/min", "bowl cc/min", "hole mm", "of full throttle"];
    let heading = "What runs: out of the hose's end, into the bowl with the needle wide open, the plain hole that passes the \
                   same as the whole way, and the share of the most that the engine takes at full throttle";
    headed(heading, &heads, &result.limits.iter().map(row).collect::<Vec<_>>())
}

fn heads(result: &SupplyResult) -> String {
    let Some(l) = result.limits.last() else { return String::new() };
    let most = l.parts.iter().map(|p| p.head).fold(0.0, f64::max);
    let row = |p: &crate::study::supply::PartHead| {
        let mark = if p.head >= most { "takes most" } else { "" };
        vec![p.part.word().to_owned(), mm(p.head, 1), per_cent(p.share), mark.to_owned()]
    };
    let heading = format!(
        "Where the head goes, {} at {} cc/min{}",
        l.tank,
        cc_min(l.into_bowl),
        if result.measured.is_some() { ", as measured with the jug" } else { "" }
    );
    headed(&heading, &["part", "mm of fuel", "share", ""], &l.parts.iter().map(row).collect::<Vec<_>>())
}

fn demand(result: &SupplyResult) -> String {
    let asked = &result.asked;
    let keeps = |p: &DemandPoint, l: &TankLimit| if p.fuel_m3_s <= l.into_bowl { "yes" } else { "no" };
    let kept = |p: &DemandPoint| result.limits.iter().map(|l| keeps(p, l).to_owned()).collect::<Vec<_>>();
    let common = |p: &DemandPoint| {
        let mark = if p.sound { "" } else { "*" };
        vec![
            format!("{}{mark}", rounded(Some(p.rpm), 0)),
            rounded(Some(100.0 * p.throttle), 0),
            rounded(p.power_kw, 1),
            rounded(p.afr, 1),
            cc_min(p.fuel_m3_s),
            cc_min(MARGIN * p.fuel_m3_s),
        ]
    };
    let heads = ["rpm", "lift %", "kW", "AFR", "cc/min", "150 %", "full", "reserve"];
    let full = asked.full.iter().map(|p| [common(p), kept(p)].concat()).collect::<Vec<_>>();
    let mut out = headed("What the engine takes at full throttle, and whether the supply keeps up", &heads, &full);
    if !asked.road.is_empty() {
        let row = |p: &DemandPoint| {
            let speed = p.speed_m_s.unwrap_or(f64::NAN);
            let first = vec![
                rounded(Some(speed / MPH), 0),
                rounded(Some(3.6 * speed), 0),
                p.gear.map_or("-".to_owned(), |g| g.to_string()),
            ];
            [first, common(p), kept(p)].concat()
        };
        let heads = [&["mph", "km/h", "gear"][..], &heads[..]].concat();
        let rows = asked.road.iter().map(row).collect::<Vec<_>>();
        out += &format!("\n{}", headed("The same on the road", &heads, &rows));
    }
    for (speed, why) in &asked.road_failed {
        out += &wrapped("  ", "    ", &format!("{}: not found: {why}", road_speed(*speed)));
    }
    if asked.full.iter().chain(&asked.road).any(|p| !p.sound) {
        out += "  * does not burn steadily, left out of what follows\n";
    }
    out
}

fn verdicts(result: &SupplyResult) -> String {
    let mut out = String::new();
    let most = result.asked.full.iter().filter(|p| p.sound).max_by(|a, b| a.fuel_m3_s.total_cmp(&b.fuel_m3_s));
    if let Some(most) = most {
        let lacks = result.limits.iter().filter(|l| l.over_full_throttle.is_some_and(|r| r < MARGIN));
        let lacks = lacks.map(|l| l.tank.as_str()).collect::<Vec<_>>().join(" and ");
        let kept = if lacks.is_empty() { "kept".to_owned() } else { format!("not kept: {lacks}") };
        let text = format!(
            "at full throttle the engine takes up to {} cc/min; the old rule for gravity feed, 150 % of that (14 CFR 23.955(b), a \
             historical design rule), asks {} cc/min: {kept}",
            cc_min(most.fuel_m3_s),
            cc_min(MARGIN * most.fuel_m3_s),
        );
        out += &wrapped("", "  ", &text);
    }
    for l in &result.limits {
        let mut said = Vec::new();
        if !result.asked.road.is_empty() {
            said.push(match l.road_speed_m_s {
                Some(_) if l.road_all => "every road speed looked at".to_owned(),
                Some(speed) => format!("{} on the road", road_speed(speed)),
                None => "no road speed looked at".to_owned(),
            });
        }
        said.push(match l.full_throttle_rpm {
            Some(_) if l.full_throttle_all => "full throttle at any speed".to_owned(),
            Some(rpm) => format!("full throttle up to {} rpm", rounded(Some(rpm), 0)),
            None => "no full throttle at the speeds looked at".to_owned(),
        });
        out += &wrapped("", "  ", &format!("{}: the supply keeps up with {}", l.tank, said.join(" and ")));
    }
    out
}

fn basis(result: &SupplyResult) -> String {
    let asked = &result.asked;
    let points = asked.full.len() + asked.road.len() + result.held.levels.len() + result.held.eased_levels.len();
    let text = format!(
        "Simulated: the {points} operating points of the tables and of the levels ({} levels for the point held, {} for the one eased off to). \
         Between them straight lines; the level follows by one equation, the tank's fuel held where it stands. Not modelled: wind at the \
         vents, boiling fuel, a pump.",
        result.held.levels.len(),
        result.held.eased_levels.len()
    );
    wrapped("", "  ", &text)
}

fn cautions() -> String {
    let jug = "jug tests: engine off and cold, a proper can, nothing that sparks near; count hands and jars";
    let lines: String = CAUTIONS.lines().chain([jug]).map(|line| wrapped("  ", "    ", line)).collect();
    format!("Cautions\n{lines}")
}

/// What is held, in words.
#[must_use]
pub(super) fn point_words(p: &DemandPoint) -> String {
    let place = match p.speed_m_s {
        Some(speed) => format!("{}, gear {}", road_speed(speed), p.gear.unwrap_or(0)),
        None => "on the bench".to_owned(),
    };
    let opening = if p.throttle >= 1.0 {
        throttle_phrase(1.0)
    } else {
        format!("lift {} %", rounded(Some(100.0 * p.throttle), 1))
    };
    format!(
        "{place}, {} rpm, {opening}, AFR {}, {} cc/min",
        rounded(Some(p.rpm), 0),
        rounded(p.afr, 1),
        cc_min(p.fuel_m3_s)
    )
}
