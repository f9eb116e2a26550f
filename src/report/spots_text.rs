//! Where a map is lean or rich, spot by spot, and what would cure it.

use super::how_sure_text;
use super::number::{per_cent, rounded};
use super::prose::wrapped;
use crate::study::circuit_share::{CIRCUITS, circuit_shares};
use crate::study::fraction::{throttle_name, throttle_phrase};
use crate::study::map::MapResult;
use crate::study::spot_cure::{Cure, Moved, Remedy};
use crate::study::spots::{LISTED, Side, Spot};

/// Share of the fuel from which one circuit is said to give nearly all of it [-].
const NEARLY_ALL: f64 = 0.95;
/// Change of AFR elsewhere that is worth saying [-].
const WORSE: f64 = 0.01;

/// The spots, the largest first.
#[must_use]
pub fn spots_text(map: &MapResult) -> String {
    if map.spots.is_empty() {
        let none = if map.targets.is_empty() {
            "No wanted mixture is stated, so no lean or rich spots"
        } else {
            "No lean or rich spots: no point is outside the wanted mixture"
        };
        return wrapped("", "  ", none);
    }
    let mut out = String::from("Lean and rich spots, the largest first, as numbered in the heat map\n");
    for spot in map.spots.iter().take(LISTED) {
        out += &wrapped(&format!("{:3} ", spot.number), "    ", &words(map, spot));
    }
    let rest = map.spots.get(LISTED..).unwrap_or_default();
    if !rest.is_empty() {
        let text = format!(
            "and {} smaller {}; map.json has {}",
            rest.len(),
            if rest.len() == 1 { "one" } else { "ones" },
            if rest.len() == 1 { "it" } else { "them" }
        );
        out += &wrapped("    ", "    ", &text);
    }
    out
}

/// `1/8 to 1/4 throttle, 2000 to 3500 rpm`.
fn place(spot: &Spot) -> String {
    let (from, to) = (throttle_name(spot.throttle_from), throttle_phrase(spot.throttle_to));
    let throttles = if spot.throttle_from < spot.throttle_to { format!("{from} to {to}") } else { to };
    let rpm = |v: f64| rounded(Some(v), 0);
    let speeds = if spot.rpm_from < spot.rpm_to { format!("{} to ", rpm(spot.rpm_from)) } else { String::new() };
    format!("{throttles}, {speeds}{} rpm", rpm(spot.rpm_to))
}

/// What is off, by how much, how bad that is, and what would cure it.
fn words(map: &MapResult, spot: &Spot) -> String {
    let (worst, points) = (&spot.worst, spot.cells.len());
    let mut text = format!("{} {}: ", spot.side.word().to_uppercase(), place(spot));
    text += &match worst.afr {
        Some(afr) => format!("AFR {}, lambda {}", rounded(Some(afr), 1), rounded(worst.lambda, 2)),
        None => "no fuel".to_owned(),
    };
    if let Some(off) = worst.off {
        text += &format!(", {} too {}", per_cent(off), spot.side.word());
    }
    if points > 1 {
        text += &format!(" at {}, {} rpm", throttle_name(worst.throttle), rounded(Some(worst.rpm), 0));
    }
    text += ".";
    text += &match spot.torque_lost {
        Some(lost) if lost >= 0.995 => " Up to all of the torque lost.".to_owned(),
        Some(lost) if lost >= 0.005 => format!(" Up to {} of the torque lost.", per_cent(lost)),
        _ => String::new(),
    };
    text += &match spot.unfired {
        0 => String::new(),
        all if all == points => " It does not fire.".to_owned(),
        some => format!(" {some} of {points} points do not fire."),
    };
    if spot.harmful_points > 0 {
        text += " LEAN UNDER LOAD DAMAGES ENGINES.";
    }
    if spot.bypass_gives == Some(false) {
        text += " No by-pass hole gives mixture there: plugged, or none?";
    }
    match &spot.remedy {
        Some(remedy) => text += &remedy_words(spot, remedy),
        None => {
            let shares = map.at(worst.throttle, worst.rpm).and_then(circuit_shares);
            text += &shares.map(|s| format!(" Fuel there: {}.", circuits(s))).unwrap_or_default();
        }
    }
    if let Some(sure) = &spot.how_sure {
        text += &how_sure_text::spot(sure);
    }
    if let Some((from, to)) = spot.other_way_rpm {
        let (other, rpm) = (if spot.side == Side::Lean { "rich" } else { "lean" }, |v: f64| rounded(Some(v), 0));
        let speeds = if from < to { format!("{} to {}", rpm(from), rpm(to)) } else { rpm(to) };
        text += &format!(" At this throttle it is {other} at {speeds} rpm: no jet cures both.");
    }
    text
}

/// `nearly all from the needle jet`, `70 % pilot, 30 % needle jet`.
fn circuits(shares: [f64; 3]) -> String {
    let parts: Vec<(&str, f64)> = CIRCUITS.into_iter().zip(shares).filter(|p| p.1 >= 0.005).collect();
    match parts.iter().find(|p| p.1 >= NEARLY_ALL) {
        Some((name, _)) => format!("nearly all from the {name}"),
        None => {
            let words: Vec<String> = parts.iter().map(|(name, s)| format!("{} {name}", per_cent(*s))).collect();
            words.join(", ")
        }
    }
}

fn remedy_words(spot: &Spot, remedy: &Remedy) -> String {
    let Some(first) = remedy.say.first() else { return " No part could be stepped there.".to_owned() };
    let say = format!(" In charge: {} ({} of the say)", first.part.name(), per_cent(first.share));
    match &remedy.cure {
        Some(cure) => format!("{say}; {}", cure_words(spot, cure)),
        None => say + ".",
    }
}

fn cure_words(spot: &Spot, cure: &Cure) -> String {
    let afr = |v: Option<f64>| rounded(v, 1);
    let end = match (cure.cured, cure.worst.off_after) {
        (true, _) => ", as wanted".to_owned(),
        (false, Some(side)) if side == spot.side => format!(", still {}", side.word()),
        (false, Some(side)) => format!(", {}: too coarse a step", side.word()),
        (false, None) => " without a steady answer".to_owned(),
    };
    let mut text = format!(
        "{} {} to {} makes {} of {}{end}",
        cure.part.name(),
        cure.from,
        cure.to,
        afr(cure.worst.afr_after),
        afr(cure.worst.afr_before),
    );
    let worse = |m: &&Moved| {
        let by = m.afr_after.zip(m.afr_before).is_none_or(|(a, b)| (a / b - 1.0).abs() > WORSE);
        m.off_after.is_some_and(|side| side != spot.side || m.spoilt) && by
    };
    let said = |m: &Moved| {
        let side = m.off_after.map_or("", |s| s.word());
        format!("{} {side} ({} to {})", throttle_name(m.throttle), afr(m.afr_before), afr(m.afr_after))
    };
    let worse: Vec<String> = cure.elsewhere.iter().filter(worse).map(said).collect();
    if !worse.is_empty() {
        text += &format!(", but {}", worse.join(", "));
    } else if cure.cured && !cure.elsewhere.is_empty() {
        text += ", and harms no other throttle at this speed";
    }
    text + "."
}
