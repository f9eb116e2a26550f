//! Fuel supply as text of 80 columns: what runs in, where the head goes, what the engine takes, how long it lasts.

use super::ReportError;
use super::number::{per_cent, rounded};
use super::prose::wrapped;
use super::supply_jug_text::jug;
use super::supply_ride_text::{levels, rides};
use super::table::table;
use crate::setup::CAUTIONS;
use crate::study::fraction::throttle_phrase;
use crate::study::supply::{DemandPoint, MARGIN, SupplyResult, TankLimit};
use crate::units::road::SpeedUnit;

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
        in_short(result),
        limits(result),
        heads(result),
        jug(result),
        demand(result),
        levels(result),
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

fn headed(heading: &str, heads: &[&str], rows: &[Vec<String>]) -> String {
    wrapped("", "  ", heading) + &table(&heads.iter().map(|h| (*h).to_owned()).collect::<Vec<_>>(), rows)
}

fn limits(result: &SupplyResult) -> String {
    let row = |l: &TankLimit| {
        vec![
            tank_words(&l.tank).to_owned(),
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
    let (asked, unit) = (&result.asked, result.speed_unit);
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
    let heads = ["rpm", "open %", "kW", "AFR", "cc/min", "150 %", "full", "reserve"];
    let full = asked.full.iter().map(|p| [common(p), kept(p)].concat()).collect::<Vec<_>>();
    let mut out = headed("What the engine takes at full throttle, and whether the supply keeps up", &heads, &full);
    if !asked.road.is_empty() {
        let row = |p: &DemandPoint| {
            let speed = p.speed_m_s.unwrap_or(f64::NAN);
            let first = vec![
                rounded(Some(unit.from_si(speed)), 0),
                rounded(Some(unit.other().from_si(speed)), 0),
                p.gear.map_or("-".to_owned(), |g| g.to_string()),
            ];
            [first, common(p), kept(p)].concat()
        };
        let heads = [&[unit.name(), unit.other().name(), "gear"][..], &heads[..]].concat();
        let rows = asked.road.iter().map(row).collect::<Vec<_>>();
        out += &format!("\n{}", headed("The same on the road", &heads, &rows));
    }
    for (speed, why) in &asked.road_failed {
        out += &wrapped("  ", "    ", &format!("{}: not found: {why}", result.speed_unit.both(*speed)));
    }
    if asked.full.iter().chain(&asked.road).any(|p| !p.sound) {
        out += "  * does not burn steadily, left out of what follows\n";
    }
    out
}

/// What matters, in sentences.
fn in_short(result: &SupplyResult) -> String {
    let mut said = result.limits.iter().map(|l| keeps_up(l, result)).collect::<Vec<_>>();
    said.extend(rides(result));
    said.extend(rule(result));
    let lines: String = said.iter().map(|line| wrapped("  ", "    ", line)).collect();
    format!("In short\n{lines}")
}

/// `tank full`, `reserve`.
#[must_use]
pub(super) fn tank_words(tank: &str) -> &str {
    if tank == "full" { "tank full" } else { tank }
}

fn keeps_up(l: &TankLimit, result: &SupplyResult) -> String {
    let mut said = Vec::new();
    if !result.asked.road.is_empty() {
        said.push(match l.road_speed_m_s {
            Some(_) if l.road_all => "at every road speed looked at".to_owned(),
            Some(speed) => format!("up to {} on the road", result.speed_unit.both(speed)),
            None => "at no road speed looked at".to_owned(),
        });
    }
    said.push(match l.full_throttle_rpm {
        Some(_) if l.full_throttle_all => "at full throttle at all engine speeds".to_owned(),
        Some(rpm) => format!("at full throttle up to {} rpm", rounded(Some(rpm), 0)),
        None => "at full throttle at none of the engine speeds looked at".to_owned(),
    });
    let (tank, flow) = (tank_words(&l.tank), cc_min(l.into_bowl));
    format!("{tank}: {flow} cc/min run in, enough {}", said.join(", and "))
}

/// The margin of gravity feeds, and the hole that it needs.
fn rule(result: &SupplyResult) -> Option<String> {
    let sound = result.asked.full.iter().filter(|p| p.sound);
    let most = sound.map(|p| p.fuel_m3_s).reduce(f64::max)?;
    let reserve = result.limits.last()?;
    let hole = |flow: f64| mm(reserve.effective_bore * (flow / reserve.into_bowl).sqrt(), 1);
    let lacks = result.limits.iter().filter(|l| l.over_full_throttle.is_some_and(|r| r < MARGIN));
    let lacks = lacks.map(|l| tank_words(&l.tank)).collect::<Vec<_>>().join(" nor on ");
    let kept = if lacks.is_empty() { "it is kept".to_owned() } else { format!("not kept with {lacks}") };
    let needs = if lacks.is_empty() || !hole_is_known(reserve) {
        String::new()
    } else {
        format!(
            "; on reserve the whole way would have to pass like a hole of {} mm, for full throttle alone {} mm (now {})",
            hole(MARGIN * most),
            hole(most),
            mm(reserve.effective_bore, 2)
        )
    };
    Some(format!(
        "full throttle takes up to {} cc/min; the old rule for gravity feed, 150 % of that (14 CFR 23.955(b), a historical design rule), \
         asks {}: {kept}{needs}",
        cc_min(most),
        cc_min(MARGIN * most),
    ))
}

fn hole_is_known(l: &TankLimit) -> bool {
    l.into_bowl > 1e-9
}

fn basis(result: &SupplyResult) -> String {
    let asked = &result.asked;
    let points = asked.full.len() + asked.road.len() + result.held.levels.len() + result.held.eased_levels.len();
    let text = format!(
        "Simulated: the {points} operating points of the tables and of the levels ({} levels for the point held, {} for the one eased off to). \
         Between them straight lines; the level follows by one equation, the tank's fuel held where it stands. `bellmouth check` lists what the file leaves to an estimate. Not modelled: wind at the vents, boiling fuel, a pump.",
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
pub(super) fn point_words(p: &DemandPoint, unit: SpeedUnit) -> String {
    let place = match p.speed_m_s {
        Some(speed) => format!("{}, gear {}", unit.both(speed), p.gear.unwrap_or(0)),
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
