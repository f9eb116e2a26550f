//! Whether a lean spot of a map is there at the ends of the estimates that say most about its worst point.
//!
//! At each end the worst point is run again with the map's own cells, and so are the nearest points of its row and
//! column outside the spot: its border.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::screen::{Asked, Rows, screened};
use super::{Candidate, Doubtful, ENDS, MOST, candidates, change, coarser, moved, next};
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::setup::{End, Setup};
use crate::study::map::MapResult;
use crate::study::point::{self, PointResult};
use crate::study::spot_cure::MOST_SPOTS;
use crate::study::spots::{Side, Spot, side};
use crate::study::tasks;

/// A spot at one end of one estimate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AtEnd {
    /// The estimate.
    pub estimate: Doubtful,
    /// The end.
    pub end: End,
    /// Air-fuel ratio at the worst point [-].
    pub afr: Option<f64>,
    /// Which way the worst point is off, if it is; none too if it did not converge.
    pub off: Option<Side>,
    /// Throttle and speed [rpm] of points of the border that became lean.
    pub grown: Vec<(f64, f64)>,
}

/// How sure a spot is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HowSure {
    /// Estimates that were looked at.
    pub looked_at: usize,
    /// The ends, by estimate, low before high.
    pub ends: Vec<AtEnd>,
    /// Whether the worst point is lean at all of them.
    pub holds: bool,
    /// What to measure next.
    pub next: Option<Doubtful>,
}

/// Runs of [`run`], at most.
#[must_use]
pub fn runs(setup: &Setup, map: &MapResult) -> usize {
    let lean = lean(map).count();
    lean * (candidates(&[setup]).len() + 1 + MOST * ENDS.len() * 5)
}

/// The lean ones among the largest spots, with their places.
fn lean(map: &MapResult) -> impl Iterator<Item = (usize, &Spot)> {
    map.spots.iter().take(MOST_SPOTS).enumerate().filter(|(_, s)| s.side == Side::Lean)
}

/// The answer for each of the map's spots that is lean and among the largest, with its place. None if it was stopped.
#[must_use]
pub fn run(
    setup: &Setup,
    map: &MapResult,
    settings: &Settings,
    with: (NonZeroUsize, &AtomicBool),
    heard: &(dyn Fn(f64) + Sync),
) -> Option<Vec<(usize, HowSure)>> {
    let spots: Vec<(usize, &Spot)> = lean(map).collect();
    let points: Vec<(f64, f64)> = spots.iter().map(|(_, s)| (s.worst.throttle, s.worst.rpm)).collect();
    let coarse = coarser(settings, 4.0, &[&setup.machine]);
    let asked = Asked { setups: &[setup], fitted: &Some, points: &points, settings: &coarse, with, heard };
    let screened = screened(&asked)?;
    let looked_at = candidates(&[setup]).len();
    let mut answers = Vec::with_capacity(spots.len());
    for (column, (place, spot)) in spots.into_iter().enumerate() {
        let ranked =
            screened.ranked(&|base: &Rows, with: &Rows| change(&base[0][column], &with[0][column]).map(f64::abs));
        let ends = at_ends(setup, map, spot, &ranked, settings, with, heard)?;
        let holds = ends.iter().all(|e| e.off == Some(Side::Lean));
        let own = spot.worst.afr;
        let far = |e: &&AtEnd| e.afr.zip(own).map_or(f64::INFINITY, |(a, b)| libm::log(a / b).abs());
        let mut by_far: Vec<&AtEnd> = ends.iter().collect();
        by_far.sort_by(|a, b| far(b).total_cmp(&far(a)));
        let next = next(by_far.iter().map(|e| &e.estimate));
        answers.push((place, HowSure { looked_at, holds, next, ends }));
    }
    Some(answers)
}

/// One spot at the ends of its estimates.
fn at_ends(
    setup: &Setup,
    map: &MapResult,
    spot: &Spot,
    ranked: &[Candidate],
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    heard: &(dyn Fn(f64) + Sync),
) -> Option<Vec<AtEnd>> {
    let mut machines: Vec<(Doubtful, End, Machine)> = Vec::new();
    for candidate in ranked {
        for end in ENDS {
            let machine = moved(setup, &candidate.doubtful.key, end);
            machines.extend(machine.map(|m| (candidate.doubtful.clone(), end, m)));
        }
    }
    let mut points = vec![(spot.worst.throttle, spot.worst.rpm)];
    points.extend(border(map, spot));
    let count = points.len();
    let solved = tasks::in_order(machines.len() * count, threads, stop, &|task| {
        let (throttle, rpm) = points[task % count];
        let point = point::solve(&machines[task / count].2, throttle, rpm, None, settings).0;
        heard(rpm);
        point
    });
    let solved: Vec<Option<PointResult>> = solved.into_iter().map(|r| r.map(Result::ok)).collect::<Option<_>>()?;
    let one = |((estimate, end, _), points): (&(Doubtful, End, Machine), &[Option<PointResult>])| {
        let worst = points.first().and_then(Option::as_ref);
        let lean = points.iter().skip(1).flatten().filter(|p| side(map, p) == Some(Side::Lean));
        AtEnd {
            estimate: estimate.clone(),
            end: *end,
            afr: worst.and_then(|p| p.afr.filter(|a| p.converged && a.is_finite())),
            off: worst.and_then(|p| side(map, p)),
            grown: lean.map(|p| (p.throttle, p.rpm)).collect(),
        }
    };
    Some(machines.iter().zip(solved.chunks(count)).map(one).collect())
}

/// The nearest points of the worst point's row and column that are not in the spot, not lean themselves, and converged.
fn border(map: &MapResult, spot: &Spot) -> Vec<(f64, f64)> {
    let at = |list: &[f64], value: f64, near: f64| list.iter().position(|v| (v - value).abs() < near);
    let (Some(column), Some(row)) =
        (at(&map.grid.throttles, spot.worst.throttle, 1e-9), at(&map.grid.speeds, spot.worst.rpm, 1e-6))
    else {
        return Vec::new();
    };
    let outside = |cell: &(usize, usize)| !spot.cells.contains(cell);
    let found = [
        (0..column).rev().map(|c| (c, row)).find(outside),
        (column + 1..map.grid.throttles.len()).map(|c| (c, row)).find(outside),
        (0..row).rev().map(|r| (column, r)).find(outside),
        (row + 1..map.grid.speeds.len()).map(|r| (column, r)).find(outside),
    ];
    let place = |(c, r): (usize, usize)| (map.grid.throttles[c], map.grid.speeds[r]);
    let sound =
        |(t, rpm): &(f64, f64)| map.at(*t, *rpm).is_some_and(|p| p.converged && side(map, p) != Some(Side::Lean));
    found.into_iter().flatten().map(place).filter(sound).collect()
}
