//! Where on the map the machine rides, in words.

use super::number::{per_cent, rounded};
use super::prose::wrapped;
use super::table::table;
use crate::hardware::road_vehicle::RoadVehicle;
use crate::study::fraction::{percent, throttle_name};
use crate::study::map::MapResult;
use crate::study::part_say::Say;
use crate::study::road::RoadPoint;
use crate::study::road_line::LinePoint;
use crate::study::road_result::{Here, RoadResult};
use crate::study::top_speed::{Ends, TopSpeed};
use crate::study::verdict::Verdict;
use crate::units::road::{KW_PER_HP, SpeedUnit, consumption};

/// Share of the say from which a part is named [-].
const NAMED: f64 = 0.15;

/// The section of the sheet.
#[must_use]
pub fn road_text(road: &RoadResult) -> String {
    let head = format!("On {} (between the points of the map)", road_words(&road.vehicle, road.unit));
    let heads = [road.unit.name(), "gear", "rpm", "kW", "hp", "throttle", "AFR"].map(str::to_owned);
    let rows: Vec<Vec<String>> = marks(road).into_iter().map(|(gear, mark)| row(road.unit, gear, mark)).collect();
    let mut out = wrapped("", "  ", &head);
    if rows.is_empty() {
        out += &wrapped("  ", "    ", "no round speed is held between the points of this map");
    } else {
        out += &table(&heads, &rows);
    }
    if let Some(top) = &road.top {
        out += &wrapped("  ", "    ", &top_words(top, road.unit));
    }
    for here in &road.here {
        out += "\n";
        out += &wrapped("", "  ", &here.sentence);
    }
    out
}

/// `a level road in still air`, `a road that rises 5 %, against 20 km/h of wind`.
#[must_use]
pub fn road_words(vehicle: &RoadVehicle, unit: SpeedUnit) -> String {
    let share = |v: f64| format!("{} %", rounded(Some(100.0 * v.abs()), 1).trim_end_matches(".0"));
    let slope = match vehicle.grade {
        g if g > 0.0 => format!("a road that rises {}", share(g)),
        g if g < 0.0 => format!("a road that falls {}", share(g)),
        _ => "a level road".to_owned(),
    };
    match vehicle.headwind {
        w if w > 0.0 => format!("{slope} against {} of wind", unit.said(w)),
        w if w < 0.0 => format!("{slope} with {} of wind from behind", unit.said(-w)),
        _ => format!("{slope} in still air"),
    }
}

/// Round speeds, each in the gear a rider takes: the highest whose line has it above the usual crank speed.
fn marks(road: &RoadResult) -> Vec<(usize, &LinePoint)> {
    let mut marks: Vec<(usize, &LinePoint)> = Vec::new();
    for line in road.lines.iter().rev() {
        for mark in line.marks.iter().filter(|m| line.gear == 1 || m.rpm >= road.usual_rpm) {
            if marks.iter().all(|m| (m.1.speed_m_s - mark.speed_m_s).abs() > 1e-6) {
                marks.push((line.gear, mark));
            }
        }
    }
    marks.sort_by(|a, b| a.1.speed_m_s.total_cmp(&b.1.speed_m_s));
    marks
}

fn row(unit: SpeedUnit, gear: usize, mark: &LinePoint) -> Vec<String> {
    vec![
        rounded(Some(unit.from_si(mark.speed_m_s)), 0),
        gear.to_string(),
        rounded(Some(mark.rpm), 0),
        rounded(Some(mark.wanted_kw), 1),
        rounded(Some(mark.wanted_kw / KW_PER_HP), 1),
        mark.throttle.filter(|t| (0.0..=1.0).contains(t)).map_or_else(|| "-".to_owned(), percent),
        rounded(mark.afr, 1),
    ]
}

/// `Top speed 131 km/h (81 mph) in gear 4 at full throttle, 5610 rpm`.
#[must_use]
pub fn top_words(top: &TopSpeed, unit: SpeedUnit) -> String {
    let ends = match top.ends {
        Ends::Power => "where the road takes all the power",
        Ends::HighestRpm => "the highest speed of the engine",
    };
    let from = if top.solved { "" } else { ", between the points of the map" };
    format!(
        "highest speed {} in gear {} at full throttle, {} rpm, {ends}{from}",
        unit.both(top.speed_m_s),
        top.gear,
        rounded(Some(top.rpm), 0)
    )
}

/// The sentence of a speed that was asked for.
#[must_use]
pub fn sentence(map: &MapResult, road: &RoadResult, here: &Here) -> String {
    match (&here.point, &here.refused) {
        (Some(point), _) => found(map, road, point),
        (None, refused) => {
            let why = refused.as_deref().unwrap_or("not computed");
            format!("{} cannot be held: {why}.", road.unit.both(here.asked.speed_m_s))
        }
    }
}

fn found(map: &MapResult, road: &RoadResult, held: &RoadPoint) -> String {
    let p = &held.point;
    let lift = percent((1000.0 * p.throttle).round() / 1000.0);
    let opening = match p.piston_lift_m {
        Some(lift_m) => format!("butterfly at {lift}, piston lift {} mm", rounded(Some(1e3 * lift_m), 1)),
        None => format!("slide lift {lift} of the bore{}", near(p.throttle)),
    };
    let off = match Verdict::of_point(map, p) {
        Verdict::Leaner(by) if by >= 0.005 => format!(", {} leaner than wanted", per_cent(by)),
        Verdict::Richer(by) if by >= 0.005 => format!(", {} richer than wanted", per_cent(by)),
        Verdict::Leaner(_) | Verdict::Richer(_) | Verdict::Within => ", as wanted".to_owned(),
        Verdict::NoBand | Verdict::NoMixture => String::new(),
    };
    let mut text = format!(
        "At {} in gear {} on {} you are here: {opening}, {} rpm, AFR {} (lambda {}){off}",
        road.unit.both(held.speed_m_s),
        held.gear,
        road_words(&road.vehicle, road.unit),
        rounded(Some(p.rpm), 0),
        rounded(p.afr, 1),
        rounded(p.lambda, 2)
    );
    text += &in_charge(&held.say);
    text += &format!("; {} kW ({} hp)", rounded(Some(held.wanted_kw), 1), rounded(Some(held.wanted_kw / KW_PER_HP), 1));
    if let (Some(fuel), Some(litres)) = (held.fuel_m3_s, held.l_per_100_km) {
        text += &format!("; fuel {} cc/min, {}", rounded(Some(6e7 * fuel), 0), consumption(litres));
    }
    if !p.converged {
        text += &format!("; {}, do not rely on it", p.status.word());
    }
    text + "."
}

/// The nearest eighth of the throttle where it is near.
fn near(throttle: f64) -> String {
    let eighth = (8.0 * throttle).round() / 8.0;
    let close = eighth > 0.0 && (throttle - eighth).abs() < 0.02 && (throttle - eighth).abs() > 1e-3;
    if close { format!(" (near {})", throttle_name(eighth)) } else { String::new() }
}

fn in_charge(say: &[Say]) -> String {
    let Some((first, rest)) = say.split_first() else { return String::new() };
    let words = |s: &Say| format!("{} {}", s.part.name(), per_cent(s.share));
    let others: Vec<String> = rest.iter().filter(|s| s.share >= NAMED).map(words).collect();
    let then = if others.is_empty() { String::new() } else { format!(", then {}", others.join(", ")) };
    format!("; in charge: {} ({} of the say){then}", first.part.name(), per_cent(first.share))
}
