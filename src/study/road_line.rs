//! The level-road line of a map: the throttle that holds each speed in each gear.
//!
//! Between the points of the map, not on the running engine: torque and mixture are read off monotone cubics through the
//! map's converged points that fire, over rpm at each throttle, then over the logarithm of the throttle. Where a point
//! next to the wanted one is missing there is no line, nor below the smallest throttle of the map.

use serde::{Deserialize, Serialize};

use super::in_grid::in_grid;
use super::map::MapResult;
use super::point::PointResult;
use super::road::OnRoad;
use super::top_speed::FullThrottle;
use crate::numeric::root;
use crate::numeric::table::Pchip;
use crate::units::road::SpeedUnit;

/// Places of a line between the lowest and the highest speed of a gear.
const PLACES: u32 = 80;
/// Tolerance of the logarithm of the throttle [-].
const TOLERANCE: f64 = 1e-6;

/// A place of a line.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LinePoint {
    /// Road speed [m/s].
    pub speed_m_s: f64,
    /// Crank speed [rpm].
    pub rpm: f64,
    /// Torque wanted [N m].
    pub wanted_nm: f64,
    /// Power wanted [kW].
    pub wanted_kw: f64,
    /// Throttle that gives it [-]; none where the map does not say.
    pub throttle: Option<f64>,
    /// Air-fuel ratio there [-].
    pub afr: Option<f64>,
    /// Fuel there [g/s].
    pub fuel_g_s: Option<f64>,
}

/// The line of one gear.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GearLine {
    /// Gear from 1.
    pub gear: usize,
    /// Places, speed rising.
    pub places: Vec<LinePoint>,
    /// Places at round speeds.
    pub marks: Vec<LinePoint>,
}

/// Between the points of a map.
pub struct Between<'a> {
    map: &'a MapResult,
    laid: Vec<Option<&'a PointResult>>,
}

/// A figure of a point.
type Figure = fn(&PointResult) -> Option<f64>;

impl<'a> Between<'a> {
    /// Between the points of `map`.
    #[must_use]
    pub fn of(map: &'a MapResult) -> Self {
        Self { map, laid: in_grid(map) }
    }

    /// The point at a column and a row if it can be relied on.
    fn point(&self, column: usize, row: usize) -> Option<&'a PointResult> {
        let found = self.laid.get(column * self.map.grid.speeds.len() + row).copied().flatten();
        found.filter(|p| p.converged && p.fired && p.torque_nm.is_some_and(f64::is_finite))
    }

    /// `figure` at `rpm` and the throttle of `column`, by the run of good points around it.
    fn at_throttle(&self, column: usize, rpm: f64, figure: Figure) -> Option<f64> {
        let speeds = &self.map.grid.speeds;
        let value = |row: usize| self.point(column, row).and_then(figure).filter(|v| v.is_finite());
        let last = speeds.len().checked_sub(1)?;
        let inside = rpm >= speeds[0] - 1e-6 && rpm <= speeds[last] + 1e-6;
        let row = speeds.partition_point(|s| *s <= rpm).clamp(1, last.max(1)) - 1;
        if !inside || last == 0 {
            return None;
        }
        value(row)?;
        value(row + 1)?;
        let from = (0..=row).rev().take_while(|r| value(*r).is_some()).last()?;
        let points: Vec<(f64, f64)> = (from..=last).map_while(|r| value(r).map(|v| (speeds[r], v))).collect();
        Pchip::new(points).ok().map(|curve| curve.value(rpm))
    }

    /// `figure` at `rpm` over the logarithm of the throttle: runs of good points.
    fn over_throttle(&self, rpm: f64, figure: Figure) -> Vec<Vec<(f64, f64)>> {
        let mut runs = vec![Vec::new()];
        for (column, throttle) in self.map.grid.throttles.iter().enumerate() {
            match (self.at_throttle(column, rpm, figure), runs.last_mut()) {
                (Some(value), Some(run)) => run.push((libm::log(*throttle), value)),
                (None, Some(run)) if !run.is_empty() => runs.push(Vec::new()),
                _ => {}
            }
        }
        runs.retain(|run| run.len() > 1);
        runs
    }

    /// The smallest throttle that gives `torque` [N m] at `rpm`.
    #[must_use]
    pub fn throttle(&self, rpm: f64, torque: f64) -> Option<f64> {
        self.over_throttle(rpm, |p| p.torque_nm).into_iter().find_map(|run| {
            // where it first rises through the wanted one
            let pair = run.windows(2).find(|w| w[0].1 < torque && w[1].1 >= torque)?;
            let (low, high) = (pair[0].0, pair[1].0);
            let curve = Pchip::new(run.clone()).ok()?;
            root::find(|t| curve.value(t) - torque, low, high, TOLERANCE).ok().map(|r| libm::exp(r.x))
        })
    }

    /// `figure` at `rpm` and `throttle`.
    #[must_use]
    pub fn figure(&self, rpm: f64, throttle: f64, figure: Figure) -> Option<f64> {
        let at = libm::log(throttle);
        let runs = self.over_throttle(rpm, figure);
        let run = runs.into_iter().find(|r| r.first().zip(r.last()).is_some_and(|(a, b)| a.0 <= at && at <= b.0))?;
        Pchip::new(run).ok().map(|curve| curve.value(at))
    }

    /// Torque at full throttle, if the map has it.
    #[must_use]
    pub fn full_throttle(&self) -> Option<FullThrottle> {
        let column = self.map.grid.throttles.iter().position(|t| (t - 1.0).abs() < 1e-6)?;
        let good = |row: usize| Some((self.map.grid.speeds[row], self.point(column, row)?.torque_nm?));
        // from the highest speed down to the first that is missing
        let mut points: Vec<_> = (0..self.map.grid.speeds.len()).rev().map_while(good).collect();
        points.reverse();
        FullThrottle::through(points)
    }

    /// The place of a line at `speed` [m/s] in `gear`.
    #[must_use]
    pub fn place(&self, road: &OnRoad<'_>, speed: f64, gear: usize) -> Option<LinePoint> {
        let (rpm, wanted_nm) = road.wanted(speed, gear)?;
        let throttle = self.throttle(rpm, wanted_nm);
        let figure = |f: Figure| throttle.and_then(|t| self.figure(rpm, t, f));
        Some(LinePoint {
            speed_m_s: speed,
            rpm,
            wanted_nm,
            wanted_kw: 1e-3 * road.wanted_power(speed),
            throttle,
            afr: figure(|p| p.afr),
            fuel_g_s: figure(|p| p.fuel_g_s),
        })
    }

    /// The line of every gear between the lowest and the highest crank speed of the map.
    #[must_use]
    pub fn lines(&self, road: &OnRoad<'_>, unit: SpeedUnit) -> Vec<GearLine> {
        let (Some(first), Some(last)) = (self.map.grid.speeds.first(), self.map.grid.speeds.last()) else {
            return Vec::new();
        };
        let line = |gear: usize| {
            let (from, to) = (road.vehicle.speed(*first, gear)?, road.vehicle.speed(*last, gear)?);
            let speed = |i: u32| from + (to - from) * f64::from(i) / f64::from(PLACES);
            let places = (0..=PLACES).filter_map(|i| self.place(road, speed(i), gear)).collect();
            let (low, high) = (unit.from_si(from) / unit.mark(), unit.from_si(to) / unit.mark());
            let marks = (low.ceil() as i32..=high.floor() as i32).map(|i| unit.to_si(f64::from(i) * unit.mark()));
            let marks = marks.filter_map(|v| self.place(road, v, gear)).filter(|m| m.throttle.is_some()).collect();
            Some(GearLine { gear, places, marks })
        };
        (1..=road.vehicle.gears.len()).filter_map(line).collect()
    }
}
