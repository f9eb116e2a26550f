//! Where a map is lean or rich: connected regions of throttle and speed outside the wanted band.

use serde::{Deserialize, Serialize};

use super::how_sure;
use super::in_grid::in_grid;
use super::map::{Grid, MapResult};
use super::point::PointResult;
use super::spot_cure::Remedy;
use super::verdict::Verdict;

/// Least departure from the edge of the band that counts, as a share of it [-]: a smaller one rounds to 0 %.
pub const LEAST: f64 = 0.005;
/// Throttle from which the engine is under load [-]. Common practice, no source.
const LOAD_THROTTLE: f64 = 0.5;
/// Filling from which it is under load at any throttle [-] (no source: a choice).
const LOAD_FILLING: f64 = 0.7;
/// Throttles at which the trade's ranges meet [-]: pilot and cutaway below the first, needle between, main jet from the
/// second. Common practice, with overlaps.
const RANGES: [f64; 2] = [0.25, 0.75];
/// Departure that a point without fire counts as when spots are put in order [-].
const SILENT: f64 = 0.5;

/// Most spots that are listed on paper and outlined in the picture.
pub const LISTED: usize = 5;

/// Which way the mixture is off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Leaner than the lean edge, or no fire for lack of fuel.
    Lean,
    /// Richer than the rich edge.
    Rich,
}

impl Side {
    /// In plain words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Lean => "lean",
            Self::Rich => "rich",
        }
    }
}

/// One point of a spot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SpotPoint {
    /// Throttle [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Air-fuel ratio [-]; none without fuel.
    pub afr: Option<f64>,
    /// `afr` over the stoichiometric ratio [-].
    pub lambda: Option<f64>,
    /// How far past the edge of the band, as a share of it [-]; none without fuel or without a band.
    pub off: Option<f64>,
    /// Whether the charge burnt.
    pub fired: bool,
}

/// A connected region outside the wanted band.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    /// From 1, the largest first.
    pub number: usize,
    /// Which way it is off.
    pub side: Side,
    /// Its points as places in the grid: throttle, speed.
    pub cells: Vec<(usize, usize)>,
    /// Smallest throttle [-].
    pub throttle_from: f64,
    /// Largest throttle [-].
    pub throttle_to: f64,
    /// Lowest speed [rpm].
    pub rpm_from: f64,
    /// Highest speed [rpm].
    pub rpm_to: f64,
    /// The point that is furthest off among those that fired; if none fired, among all.
    pub worst: SpotPoint,
    /// Points that did not fire.
    pub unfired: usize,
    /// Largest share of the best torque that is lost [-]; none if no point pulls.
    pub torque_lost: Option<f64>,
    /// Points under load that fire lean, which damages engines: at half throttle and above, or filled to 0.7 and more.
    pub harmful_points: usize,
    /// Speeds at the worst point's throttle that are off the other way [rpm], lowest and highest: no jet cures both.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other_way_rpm: Option<(f64, f64)>,
    /// Whether a by-pass hole gives mixture at the worst point, for a lean spot below a quarter of the throttle: if
    /// none
    /// does, one may be plugged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bypass_gives: Option<bool>,
    /// What would cure it, for the largest spots.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remedy: Option<Remedy>,
    /// Whether it is there where the estimates are off, for the largest lean ones, if that was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how_sure: Option<how_sure::spots::HowSure>,
}

/// The spots of `map`, those that weigh most first: the sum of the departures of their points, those without fire as
/// half.
///
/// Points are neighbours when they differ by one step of throttle or of speed. A region that reaches through all three
/// ranges of the throttle (below 1/4, to 3/4, above) is cut into these, since no one part governs it. Points that did
/// not
/// converge or were not reached belong to no spot, nor do those at a throttle without a band, but for those without
/// fire
/// for lack of fuel.
#[must_use]
pub fn find(map: &MapResult) -> Vec<Spot> {
    let rows = map.grid.speeds.len();
    let laid = in_grid(map);
    let sides: Vec<Option<Side>> = laid.iter().map(|p| p.and_then(|p| side(map, p))).collect();
    let range = |place: usize| {
        let throttle = map.grid.throttles[place / rows];
        RANGES.iter().filter(|edge| throttle >= **edge - 1e-9).count()
    };
    let off = |place: usize| sides[place].map(|side| (side, 0));
    let mut spots: Vec<(f64, Spot)> = Vec::new();
    for (side, region) in regions(&map.grid, &off) {
        let through = (0..=RANGES.len()).all(|r| region.iter().any(|p| range(*p) == r));
        let inside = |place: usize| region.binary_search(&place).ok().map(|_| (side, range(place)));
        let pieces = if through { regions(&map.grid, &inside) } else { vec![(side, region.clone())] };
        for (_, piece) in pieces {
            let points: Vec<&PointResult> = piece.iter().filter_map(|p| laid[*p]).collect();
            let cells = piece.iter().map(|p| (p / rows, p % rows)).collect();
            spots.extend(spot(map, side, cells, &points));
        }
    }
    // a stable sort: equal weights stay in the order of the grid
    spots.sort_by(|a, b| b.0.total_cmp(&a.0));
    let numbered = |(i, (_, spot)): (usize, (f64, Spot))| Spot { number: i + 1, ..spot };
    spots.into_iter().enumerate().map(numbered).collect()
}

/// Connected places of the grid (for each throttle, each speed) of one kind each, with their side, in rising order.
fn regions(grid: &Grid, kind: &dyn Fn(usize) -> Option<(Side, usize)>) -> Vec<(Side, Vec<usize>)> {
    let (columns, rows) = (grid.throttles.len(), grid.speeds.len());
    let mut taken = vec![false; columns * rows];
    let mut found = Vec::new();
    for start in 0..taken.len() {
        let Some(own) = kind(start).filter(|_| !taken[start]) else { continue };
        let mut region = Vec::new();
        let mut open = vec![start];
        taken[start] = true;
        while let Some(place) = open.pop() {
            region.push(place);
            let (column, row) = (place / rows, place % rows);
            let left = (column > 0).then(|| place - rows);
            let right = (column + 1 < columns).then(|| place + rows);
            let below = (row > 0).then(|| place - 1);
            let above = (row + 1 < rows).then(|| place + 1);
            for next in [left, right, below, above].into_iter().flatten() {
                if !taken[next] && kind(next) == Some(own) {
                    taken[next] = true;
                    open.push(next);
                }
            }
        }
        region.sort_unstable();
        found.push((own.0, region));
    }
    found
}

/// Which way a point is off, if it is.
#[must_use]
pub fn side(map: &MapResult, point: &PointResult) -> Option<Side> {
    if !point.converged {
        return None;
    }
    let starved = !point.fired && point.lambda.is_none_or(|l| l > 1.0);
    match Verdict::of_point(map, point) {
        Verdict::Leaner(by) if by >= LEAST => Some(Side::Lean),
        Verdict::Richer(by) if by >= LEAST => Some(Side::Rich),
        _ if starved => Some(Side::Lean),
        _ => None,
    }
}

/// How far past the edge [-].
fn off(map: &MapResult, point: &PointResult) -> Option<f64> {
    match Verdict::of_point(map, point) {
        Verdict::Leaner(by) | Verdict::Richer(by) if by.is_finite() => Some(by),
        _ => None,
    }
}

/// A spot of these cells and points, with its weight.
fn spot(map: &MapResult, side: Side, cells: Vec<(usize, usize)>, points: &[&PointResult]) -> Option<(f64, Spot)> {
    let weight = |p: &PointResult| if p.fired { off(map, p).unwrap_or(0.0) } else { SILENT };
    let fired = points.iter().any(|p| p.fired);
    // without a lambda it is the furthest of all
    let far = |p: &PointResult| off(map, p).unwrap_or(f64::MAX);
    let worst = points.iter().filter(|p| p.fired || !fired).max_by(|a, b| far(a).total_cmp(&far(b)))?;
    let loaded = |p: &PointResult| p.throttle >= LOAD_THROTTLE - 1e-9 || p.ve.is_some_and(|v| v >= LOAD_FILLING);
    let span = |values: &mut dyn Iterator<Item = f64>| {
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)))
    };
    let (throttle_from, throttle_to) = span(&mut points.iter().map(|p| p.throttle));
    let (rpm_from, rpm_to) = span(&mut points.iter().map(|p| p.rpm));
    let other = map.points.iter().filter(|p| (p.throttle - worst.throttle).abs() < 1e-9);
    let other = span(&mut other.filter(|p| self::side(map, p).is_some_and(|s| s != side)).map(|p| p.rpm));
    let spot = Spot {
        number: 0,
        side,
        cells,
        throttle_from,
        throttle_to,
        rpm_from,
        rpm_to,
        worst: SpotPoint {
            throttle: worst.throttle,
            rpm: worst.rpm,
            afr: worst.afr.filter(|v| v.is_finite()),
            lambda: worst.lambda.filter(|v| v.is_finite()),
            off: off(map, worst),
            fired: worst.fired,
        },
        unfired: points.iter().filter(|p| !p.fired).count(),
        torque_lost: points.iter().filter_map(|p| p.torque_lost).filter(|v| v.is_finite()).reduce(f64::max),
        harmful_points: points.iter().filter(|p| side == Side::Lean && p.fired && loaded(p)).count(),
        other_way_rpm: (other.0 <= other.1).then_some(other),
        bypass_gives: (side == Side::Lean && worst.throttle < RANGES[0] - 1e-9 && !worst.pilot_openings.is_empty())
            .then(|| worst.pilot_openings[1..].iter().any(|hole| hole.net() > 0.0)),
        remedy: None,
        how_sure: None,
    };
    Some((points.iter().map(|p| weight(p)).sum(), spot))
}
