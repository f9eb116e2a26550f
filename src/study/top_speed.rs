//! The highest speed on the road: where full throttle gives no more than what the road takes.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::point::{self, RigState};
use super::road::OnRoad;
use super::road_error::RoadError;
use crate::numeric::root;
use crate::numeric::table::Pchip;

/// What ends the speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ends {
    /// Power: the road takes all the engine has.
    Power,
    /// The engine's highest speed.
    HighestRpm,
}

/// The highest speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TopSpeed {
    /// Road speed [m/s].
    pub speed_m_s: f64,
    /// Gear from 1.
    pub gear: usize,
    /// Crank speed there [rpm].
    pub rpm: f64,
    /// Power wanted there [kW].
    pub wanted_kw: f64,
    /// What ends it.
    pub ends: Ends,
    /// Whether it was found on the running engine; else between points of a map.
    pub solved: bool,
}

/// Parts of the engine's highest speed at which full throttle is run first [-].
const PARTS: [f64; 5] = [0.35, 0.55, 0.7, 0.85, 1.0];
/// Steps in which a curve is searched for the last change of sign.
const STEPS: u32 = 200;
/// Relative tolerance of the speed [-].
const TOLERANCE: f64 = 1e-3;
/// Half the width of the bracket around the first estimate [-].
const NEAR: f64 = 0.04;

/// Torque at full throttle against crank speed, rising.
#[derive(Debug, Clone, PartialEq)]
pub struct FullThrottle {
    curve: Pchip,
    from: f64,
    to: f64,
}

impl FullThrottle {
    /// Through points of rpm and torque, rpm rising; none if there are fewer than two.
    #[must_use]
    pub fn through(points: Vec<(f64, f64)>) -> Option<Self> {
        let (from, to) = (points.first()?.0, points.last()?.0);
        Pchip::new(points).ok().map(|curve| Self { curve, from, to })
    }
}

/// The highest speed that the curve allows, in the gear that gives it.
#[must_use]
pub fn on_curve(road: &OnRoad<'_>, full: &FullThrottle) -> Option<TopSpeed> {
    let highest = road.machine.engine.highest_rpm.min(full.to);
    let best = |gear: usize| in_gear(road, full, gear, highest);
    (1..=road.vehicle.gears.len()).filter_map(best).max_by(|a, b| a.speed_m_s.total_cmp(&b.speed_m_s))
}

fn in_gear(road: &OnRoad<'_>, full: &FullThrottle, gear: usize, highest: f64) -> Option<TopSpeed> {
    let speed = |rpm: f64| road.vehicle.speed(rpm, gear).unwrap_or(f64::NAN);
    let spare = |rpm: f64| full.curve.value(rpm) - road.wanted_power(speed(rpm)) / (rpm * PI / 30.0);
    let at = |rpm: f64, ends: Ends| TopSpeed {
        speed_m_s: speed(rpm),
        gear,
        rpm,
        wanted_kw: 1e-3 * road.wanted_power(speed(rpm)),
        ends,
        solved: false,
    };
    if spare(highest) >= 0.0 {
        return Some(at(highest, Ends::HighestRpm));
    }
    let rpm = |i: u32| full.from + (highest - full.from) * f64::from(i) / f64::from(STEPS);
    let below = (0..STEPS).rev().find(|i| spare(rpm(*i)) >= 0.0)?;
    root::find(spare, rpm(below), rpm(below + 1), 1e-4 * highest).ok().map(|r| at(r.x, Ends::Power))
}

/// The highest speed on the running engine: full throttle at a few speeds, the gear from the curve through them, then the
/// crank speed in that gear by a bracketed root.
///
/// # Errors
/// It holds no speed, or points failed.
pub fn solved(road: &OnRoad<'_>) -> Result<TopSpeed, RoadError> {
    let highest = road.machine.engine.highest_rpm;
    let mut parent: Option<RigState> = None;
    let mut torque = |rpm: f64| {
        let (point, state) = point::solve(road.machine, 1.0, rpm, parent.as_ref(), road.settings);
        parent = state;
        point.torque_nm.ok_or_else(|| RoadError::Failed(point.note.unwrap_or_else(|| "a point without torque".into())))
    };
    let points = PARTS.iter().map(|part| Ok((part * highest, torque(part * highest)?)));
    let points = points.collect::<Result<Vec<_>, RoadError>>()?;
    let full = FullThrottle::through(points).ok_or(RoadError::HoldsNone)?;
    let first = on_curve(road, &full).ok_or(RoadError::HoldsNone)?;
    if first.ends == Ends::HighestRpm {
        return Ok(TopSpeed { solved: true, ..first });
    }
    let mut failed = None;
    let speed = |rpm: f64| road.vehicle.speed(rpm, first.gear).unwrap_or(f64::NAN);
    let mut spare = |rpm: f64| match torque(rpm) {
        Ok(torque) => torque - road.wanted_power(speed(rpm)) / (rpm * PI / 30.0),
        Err(error) => {
            failed = Some(error);
            f64::NAN
        }
    };
    let (low, high) = (first.rpm * (1.0 - NEAR), (first.rpm * (1.0 + NEAR)).min(highest));
    let found = root::find(&mut spare, low, high, 0.5 * TOLERANCE * first.rpm);
    match (found, failed) {
        (_, Some(error)) => Err(error),
        (Ok(root), None) => Ok(TopSpeed {
            speed_m_s: speed(root.x),
            rpm: root.x,
            wanted_kw: 1e-3 * road.wanted_power(speed(root.x)),
            solved: true,
            ..first
        }),
        (Err(error), None) => Err(RoadError::Failed(format!("the top speed was not found: {error}"))),
    }
}
