//! What would cure the largest spots of a map: the part in charge at the worst point, and its steps tried there.
//!
//! At a spot's worst point each of [`PARTS`] is moved one step against the spot (the other way where that is no
//! part). The part
//! whose step changes the mixture most is in charge. Then, from the part with most say down, whole steps are taken
//! until
//! the worst point is in its band: their number follows from the one step, by equal ratios, and the machine is run with
//! them, there and at a few other throttles of the same speed. Points of `map --steps` serve where there is one.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::map::MapResult;
use super::point::{self, PointResult, RigState};
use super::spots::{Side, Spot, side};
use super::steps_result::StepsPoint;
use super::tasks;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::rig::settings::Settings;

/// Parts that are moved: one of each range of the throttle, those that are changed first. Common practice, no source.
pub const PARTS: [Part; 6] =
    [Part::PilotJet, Part::MixtureScrew, Part::Cutaway, Part::NeedleDiameter, Part::Clip, Part::MainJet];
/// Most spots that are looked at.
pub const MOST_SPOTS: usize = 5;
/// Most steps of one part: what takes more is not the matter of one part.
const MOST_STEPS: i32 = 4;
/// Least change of the mixture by one step for a part to be tried [-].
const LEAST_SAY: f64 = 0.005;
/// Most parts that are tried on one spot.
const MOST_TRIED: usize = 2;
/// Other throttles at which the steps are run [-].
const MARKS: [f64; 5] = [0.125, 0.25, 0.5, 0.75, 1.0];

/// What one part's step does at the worst point.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Say {
    /// The part.
    pub part: Part,
    /// Change of fuel over air by one step up, the richer way [%].
    pub percent_per_step: f64,
    /// Its part of the say [-].
    pub share: f64,
}

/// A point before and after.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Moved {
    /// Throttle [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Air-fuel ratio as fitted [-].
    pub afr_before: Option<f64>,
    /// Air-fuel ratio with the steps [-].
    pub afr_after: Option<f64>,
    /// Which way it is off with the steps, if it is.
    pub off_after: Option<Side>,
    /// Whether it was in its band and no longer is.
    pub spoilt: bool,
}

/// Steps of one part against a spot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cure {
    /// The part.
    pub part: Part,
    /// Steps, above zero the richer way.
    pub steps: i32,
    /// Its setting now.
    pub from: String,
    /// Its setting after the steps.
    pub to: String,
    /// The worst point.
    pub worst: Moved,
    /// Whether that brings the worst point into its band.
    pub cured: bool,
    /// What it does elsewhere.
    pub elsewhere: Vec<Moved>,
}

/// What would cure a spot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remedy {
    /// The parts by their say at the worst point, most first; empty if none could be moved there.
    pub say: Vec<Say>,
    /// Steps of the part with most say that cures; of the one in charge if none does; none if no part could be tried.
    pub cure: Option<Cure>,
}

/// A solved point with its state, if it is periodic.
type Solved = (PointResult, Option<RigState>);

/// Looks for remedies of the largest spots of `map`, which are its `spots`. None if it was stopped before its end.
pub fn run(
    machine: &Machine,
    map: &MapResult,
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
) -> Option<Vec<Remedy>> {
    let spots = &map.spots[..map.spots.len().min(MOST_SPOTS)];
    let bases = tasks::in_order(spots.len(), threads, stop, &|i| {
        point::solve(machine, spots[i].worst.throttle, spots[i].worst.rpm, None, settings)
    });
    let bases: Vec<Option<Solved>> = bases.into_iter().map(|r| r.map(Result::ok)).collect::<Option<_>>()?;

    let wide = PARTS.len();
    let sides = tasks::in_order(spots.len() * wide, threads, stop, &|task| {
        let (i, part) = (task / wide, PARTS[task % wide]);
        match in_study(map, &spots[i]) {
            Some(studied) => studied.parts.iter().find(|e| e.part == part)?.mixture.per_step,
            None => one_side(machine, part, spots[i].side, bases[i].as_ref()?, settings),
        }
    });
    let sides: Vec<Option<f64>> = sides.into_iter().map(|r| r.map(|r| r.ok().flatten())).collect::<Option<_>>()?;

    let remedies = tasks::in_order(spots.len(), threads, stop, &|i| {
        let say = ranked(&sides[i * wide..(i + 1) * wide]);
        let cure = bases[i].as_ref().and_then(|base| cure(machine, map, &spots[i], base, &say, settings));
        Remedy { say, cure }
    });
    let none = || Remedy { say: Vec::new(), cure: None };
    remedies.into_iter().map(|r| r.map(|r| r.unwrap_or_else(|_| none()))).collect()
}

/// The point of `map --steps` at a spot's worst point.
fn in_study<'a>(map: &'a MapResult, spot: &Spot) -> Option<&'a StepsPoint> {
    let at = |p: &&StepsPoint| {
        (p.base.throttle - spot.worst.throttle).abs() < 1e-9 && (p.base.rpm - spot.worst.rpm).abs() < 1e-6
    };
    map.steps.as_ref()?.points.iter().find(at)
}

/// Change of the metered fuel over air by one step up [%], from one step against the spot, or the other way where there
/// is no such part.
pub(super) fn one_side(machine: &Machine, part: Part, side: Side, base: &Solved, settings: &Settings) -> Option<f64> {
    let way = if side == Side::Lean { 1 } else { -1 };
    let (way, moved) = [way, -way].into_iter().find_map(|n| part.moved(machine, n).ok().map(|m| (n, m)))?;
    let parent = base.1.as_ref()?.refitted(&moved);
    let (after, _) = point::solve(&moved, base.0.throttle, base.0.rpm, parent.as_ref(), settings);
    let metered = |p: &PointResult| p.afr_metered.filter(|a| p.converged && a.is_finite() && *a > 0.0);
    let ratio = metered(&base.0)? / metered(&after)?;
    Some(100.0 * (libm::exp(libm::log(ratio) / f64::from(way)) - 1.0)).filter(|c| c.is_finite())
}

/// The parts with a number by their say, most first.
pub(super) fn ranked(sides: &[Option<f64>]) -> Vec<Say> {
    let all: f64 = sides.iter().flatten().map(|c| c.abs()).sum();
    let say = |(part, side): (&Part, &Option<f64>)| {
        let percent = side.filter(|_| all > 0.0)?;
        Some(Say { part: *part, percent_per_step: percent, share: percent.abs() / all })
    };
    let mut ranked: Vec<Say> = PARTS.iter().zip(sides).filter_map(say).collect();
    ranked.sort_by(|a, b| b.share.total_cmp(&a.share));
    ranked
}

/// The first part by its say whose steps cure; the steps of the first that could be tried if none does.
fn cure(
    machine: &Machine,
    map: &MapResult,
    spot: &Spot,
    base: &Solved,
    say: &[Say],
    settings: &Settings,
) -> Option<Cure> {
    let mut first = None;
    for say in say.iter().filter(|s| s.percent_per_step.abs() >= 100.0 * LEAST_SAY).take(MOST_TRIED) {
        let Some((tried, state, moved)) = steps_of(machine, map, spot, base, say, settings) else { continue };
        if tried.cured || first.is_none() {
            let cured = tried.cured;
            first = Some((tried, state, moved));
            if cured {
                break;
            }
        }
    }
    let (cure, state, moved) = first?;
    Some(Cure { elsewhere: elsewhere(&moved, map, spot, state, settings), ..cure })
}

/// As many steps of a part as the one step asks for; one more if they fall short, one less if they go too far.
fn steps_of(
    machine: &Machine,
    map: &MapResult,
    spot: &Spot,
    base: &Solved,
    say: &Say,
    settings: &Settings,
) -> Option<(Cure, Option<RigState>, Machine)> {
    let band = map.target(spot.worst.throttle)?;
    let edge = if spot.side == Side::Lean { band.lambda_lean } else { band.lambda_rich };
    let need = libm::log(base.0.lambda? / edge);
    let each = libm::log(1.0 + 0.01 * say.percent_per_step);
    let asked = need / each;
    if !asked.is_finite() {
        return None;
    }
    let way = if asked < 0.0 { -1 } else { 1 };
    let mut count = (asked.abs().ceil() as i32).clamp(1, MOST_STEPS);
    let mut tried = Vec::new();
    loop {
        // the last part that there is, if the asked one is not
        let (steps, moved) =
            (1..=count).rev().find_map(|n| say.part.moved(machine, way * n).ok().map(|m| (way * n, m)))?;
        let parent = base.1.as_ref()?.refitted(&moved);
        let (after, state) = point::solve(&moved, base.0.throttle, base.0.rpm, parent.as_ref(), settings);
        let worst = compared(map, &base.0, &after);
        tried.push(count);
        let next = match worst.off_after {
            Some(side) if side == spot.side => count + 1,
            Some(_) => count - 1,
            None => count,
        };
        if steps.abs() == count && after.converged && (1..=MOST_STEPS).contains(&next) && !tried.contains(&next) {
            count = next;
            continue;
        }
        let cure = Cure {
            part: say.part,
            steps,
            from: say.part.setting(machine),
            to: say.part.setting(&moved),
            worst,
            cured: after.converged && after.fired && worst.off_after.is_none(),
            elsewhere: Vec::new(),
        };
        return Some((cure, state, moved));
    }
}

/// The throttles of the map that are nearest to the marks, where they fire at the spot's speed, with the changed
/// machine.
fn elsewhere(
    moved: &Machine,
    map: &MapResult,
    spot: &Spot,
    state: Option<RigState>,
    settings: &Settings,
) -> Vec<Moved> {
    let near = |mark: &f64| super::selection::nearest(&map.grid.throttles, *mark).map(|i| map.grid.throttles[i]);
    let mut throttles: Vec<f64> =
        MARKS.iter().filter_map(near).filter(|t| (t - spot.worst.throttle).abs() > 1e-9).collect();
    throttles.dedup_by(|a, b| a.to_bits() == b.to_bits());
    let mut parent = state;
    let mut found = Vec::with_capacity(throttles.len());
    for throttle in throttles.into_iter().rev() {
        let Some(before) = map.at(throttle, spot.worst.rpm).filter(|p| p.converged && p.fired) else { continue };
        let (after, state) = point::solve(moved, throttle, spot.worst.rpm, parent.as_ref(), settings);
        found.push(compared(map, before, &after));
        parent = state.or(parent);
    }
    found.reverse();
    found
}

fn compared(map: &MapResult, before: &PointResult, after: &PointResult) -> Moved {
    let side = |p: &PointResult| side(map, p);
    let afr = |p: &PointResult| p.afr.filter(|a| p.converged && a.is_finite());
    Moved {
        throttle: before.throttle,
        rpm: before.rpm,
        afr_before: afr(before),
        afr_after: afr(after),
        off_after: side(after),
        spoilt: side(before).is_none() && side(after).is_some(),
    }
}
