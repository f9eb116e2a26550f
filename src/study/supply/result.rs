//! The answer of `supply`.

use serde::{Deserialize, Serialize};

use super::asked::{Asked, DemandPoint};
use super::demand::LevelPoint;
use super::jug::Measured;
use super::ride::Ride;
use crate::hardware::supply_line::{Part, SupplyLine};
use crate::units::road::SpeedUnit;

/// Supply over the most that the engine takes [-] that a gravity feed shall give. Source: 14 CFR 23.955(b), edition of 2014, for
/// aeroplanes at take-off; rewritten since, here a historical design rule.
pub const MARGIN: f64 = 1.5;

/// Head that one part takes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PartHead {
    /// The part.
    pub part: Part,
    /// Head [m of fuel].
    pub head: f64,
    /// Share of the whole head [-].
    pub share: f64,
}

/// What the supply gives at one head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TankLimit {
    /// `"full"` or `"reserve"`.
    pub tank: String,
    /// Fuel in the tank above the needle's seat [m].
    pub head: f64,
    /// Out of the hose's end into a jug [m3/s].
    pub hose_end: f64,
    /// Into the bowl, the needle wide open [m3/s].
    pub into_bowl: f64,
    /// Plain hole that passes the same under this head [m].
    pub effective_bore: f64,
    /// Head that each part takes at `into_bowl`.
    pub parts: Vec<PartHead>,
    /// `into_bowl` over the most that the engine takes at full throttle [-].
    pub over_full_throttle: Option<f64>,
    /// Highest crank speed at full throttle up to which the supply keeps up [rpm]; none if not even the lowest.
    pub full_throttle_rpm: Option<f64>,
    /// Whether that is the end of what was looked at.
    pub full_throttle_all: bool,
    /// Highest road speed up to which the supply keeps up [m/s]; none without a vehicle or if not even the lowest.
    pub road_speed_m_s: Option<f64>,
    /// Whether that is the end of what was looked at.
    pub road_all: bool,
}

/// A ride at one head of the tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TankRide {
    /// `"full"` or `"reserve"`.
    pub tank: String,
    /// The ride.
    pub ride: Ride,
}

/// The held point: fuel and mixture against the level, and the rides.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Held {
    /// Simulated with the fuel lowered, throttle and crank speed held.
    pub levels: Vec<LevelPoint>,
    /// The same for the point eased off to.
    pub eased_levels: Vec<LevelPoint>,
    /// Lambda that counts as leaned out [-].
    pub lean_limit: f64,
    /// Tank full, then reserve.
    pub rides: Vec<TankRide>,
}

/// The answer of `supply`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SupplyResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// Air-fuel ratio of lambda 1 [-].
    pub stoichiometric: f64,
    /// The supply that was computed with: as measured where tests are given.
    pub line: SupplyLine,
    /// What the jug tests say.
    pub measured: Option<Measured>,
    /// Tank full, then reserve.
    pub limits: Vec<TankLimit>,
    /// The unit in which road speeds are said first.
    pub speed_unit: SpeedUnit,
    /// Operating points.
    pub asked: Asked,
    /// The held point.
    pub held: Held,
    /// The resolved set-up.
    pub setup: serde_json::Value,
}

/// Where `points`, as (speed, fuel), first ask more than `supply`, by straight lines: the speed and whether it is the end of them. None if
/// the first asks more.
#[must_use]
pub fn keeps_up(points: &[(f64, f64)], supply: f64) -> Option<(f64, bool)> {
    let first = points.first().filter(|p| p.1 <= supply)?;
    for pair in points.windows(2) {
        let ((x0, q0), (x1, q1)) = (pair[0], pair[1]);
        if q1 > supply {
            return Some((x0 + (x1 - x0) * (supply - q0) / (q1 - q0), false));
        }
    }
    Some((points.last().unwrap_or(first).0, true))
}

/// Speed and fuel of the sound ones of `points`.
#[must_use]
pub fn pairs(points: &[DemandPoint], road: bool) -> Vec<(f64, f64)> {
    let x = |p: &DemandPoint| if road { p.speed_m_s } else { Some(p.rpm) };
    points.iter().filter(|p| p.sound).filter_map(|p| Some((x(p)?, p.fuel_m3_s))).collect()
}
