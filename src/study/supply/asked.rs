//! Operating points at which fuel is asked for.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::run::SupplyError;
use crate::hardware::machine::Machine;
use crate::numeric::table::linear;
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::point::{self, PointResult};
use crate::study::road::{Asked as Speed, OnRoad};
use crate::study::road_error::RoadError;
use crate::study::tasks;
use crate::study::top_speed::{self, FullThrottle};

/// One simulated operating point and its fuel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct DemandPoint {
    /// Road speed [m/s]; none where only the crank's is known.
    pub speed_m_s: Option<f64>,
    /// Gear from 1, on the road.
    pub gear: Option<usize>,
    /// Crank speed [rpm].
    pub rpm: f64,
    /// Throttle [-].
    pub throttle: f64,
    /// Fuel [m3/s].
    pub fuel_m3_s: f64,
    /// Air-fuel ratio [-].
    pub afr: Option<f64>,
    /// Lambda [-].
    pub lambda: Option<f64>,
    /// Brake power [kW].
    pub power_kw: Option<f64>,
    /// Whether the charge burns and the point is periodic.
    pub sound: bool,
}

impl DemandPoint {
    /// From a point of `machine`; none if it gave no fuel.
    #[must_use]
    pub fn of(machine: &Machine, point: &PointResult, speed_m_s: Option<f64>, gear: Option<usize>) -> Option<Self> {
        Some(Self {
            speed_m_s,
            gear,
            rpm: point.rpm,
            throttle: point.throttle,
            fuel_m3_s: 1e-3 * point.fuel_g_s? / machine.fuel.density,
            afr: point.afr,
            lambda: point.lambda,
            power_kw: point.power_kw,
            sound: point.converged && point.fired,
        })
    }
}

/// What is looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    /// Full throttle against crank speed, rising.
    pub full: Vec<DemandPoint>,
    /// Held on the road against road speed, rising; empty without a vehicle.
    pub road: Vec<DemandPoint>,
    /// Road speeds that were looked at and not found [m/s], and why.
    pub road_failed: Vec<(f64, String)>,
    /// Highest road speed [m/s], from the full-throttle points by a smooth curve; none without a vehicle.
    pub top_speed_m_s: Option<f64>,
    /// The point held.
    pub held: DemandPoint,
    /// The point eased off to.
    pub eased: DemandPoint,
}

/// What the rider holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// A road speed [m/s].
    Speed(f64),
    /// Crank speed [rpm] and throttle [-].
    Point {
        /// Crank speed [rpm].
        rpm: f64,
        /// Throttle [-].
        throttle: f64,
    },
    /// On the road [`USUAL_SPEED`] of the highest speed; without a vehicle full throttle where it takes most fuel.
    Usual,
}

/// Crank speeds at full throttle, over the highest [-].
const FULL: [f64; 6] = [0.4, 0.52, 0.64, 0.76, 0.88, 1.0];
/// Throttle to begin a search with, against the share of full throttle's torque that is wanted: `a + b share` [-]. From maps of singles of
/// this kind; it decides how long a search takes, not what it finds.
const GUESS: (f64, f64) = (0.12, 0.6);
/// Road speeds looked at, over the highest [-]; at the very top a search may find too little power.
const ROAD: [f64; 5] = [0.5, 0.64, 0.75, 0.85, 0.97];
/// How near to the speed held or eased off to one of these is left out [-].
const BESIDE: f64 = 0.04;
/// Road speed that is held if none is said, over the highest [-]. Common practice, no source.
pub const USUAL_SPEED: f64 = 0.85;
/// Road speed eased off to if none is said, over the held one [-]. Common practice, no source.
pub const EASED_SPEED: f64 = 0.75;
/// The same without a vehicle: crank speed and throttle over the held ones [-].
const EASED_POINT: (f64, f64) = (0.75, 0.5);
/// How far beyond the curve's highest speed a speed is still tried [-].
const TRIED: f64 = 1.02;

/// Points that [`gather`] looks at, at most.
#[must_use]
pub fn points(setup: &Setup) -> usize {
    if setup.road.is_some() { FULL.len() + ROAD.len() + 2 } else { FULL.len() + 2 }
}

/// Runs each of `places` (throttle, rpm) from rest, in their order; none if it was stopped.
fn rpm_points(
    machine: &Machine,
    places: &[(f64, f64)],
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Option<Vec<PointResult>> {
    let done = tasks::in_order(places.len(), threads, stop, &|i| {
        let (throttle, rpm) = places[i];
        let point = point::solve(machine, throttle, rpm, None, settings).0;
        on_run(rpm);
        point
    });
    let point = |(place, found): (&(f64, f64), Option<Result<PointResult, String>>)| {
        found.map(|f| f.unwrap_or_else(|bug| PointResult::failed(place.0, place.1, 0, bug)))
    };
    places.iter().zip(done).map(point).collect()
}

/// Simulates the points: full throttle over crank speed, the road over road speed, what is held and what is eased off to (`ease`, a road
/// speed [m/s]).
///
/// # Errors
/// Stopped; a speed without a vehicle or beyond the engine; a held point without numbers.
pub fn gather(
    setup: &Setup,
    (hold, ease): (Hold, Option<f64>),
    settings: &Settings,
    with: (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Result<Asked, SupplyError> {
    let machine = &setup.machine;
    if setup.road.is_none() && (matches!(hold, Hold::Speed(_)) || ease.is_some()) {
        return Err(SupplyError::NoVehicle);
    }
    let places: Vec<(f64, f64)> = FULL.iter().map(|share| (1.0, share * machine.engine.highest_rpm)).collect();
    let points = rpm_points(machine, &places, settings, with, on_run).ok_or(SupplyError::Stopped)?;
    let full = points.iter().filter_map(|p| DemandPoint::of(machine, p, None, None)).collect::<Vec<_>>();
    match &setup.road {
        Some(vehicle) => {
            let torque = points.iter().filter(|p| p.converged).filter_map(|p| Some((p.rpm, p.torque_nm?))).collect();
            let road = OnRoad { machine, vehicle, settings };
            on_road(&road, full, torque, (hold, ease), with, on_run)
        }
        None => on_bench(machine, full, hold, settings, with, on_run),
    }
}

fn on_bench(
    machine: &Machine,
    full: Vec<DemandPoint>,
    hold: Hold,
    settings: &Settings,
    with: (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Result<Asked, SupplyError> {
    let most = full.iter().filter(|p| p.sound).max_by(|a, b| a.fuel_m3_s.total_cmp(&b.fuel_m3_s));
    let held = match (hold, most) {
        (Hold::Point { rpm, throttle }, _) => (throttle, rpm),
        (_, Some(most)) => (most.throttle, most.rpm),
        (_, None) => return Err(SupplyError::NoPoint("no full-throttle point burns steadily".to_owned())),
    };
    let eased = (held.0 * EASED_POINT.1, (held.1 * EASED_POINT.0).max(machine.engine.idle_rpm));
    let points = rpm_points(machine, &[held, eased], settings, with, on_run).ok_or(SupplyError::Stopped)?;
    let demand = |p: &PointResult| {
        let why = || SupplyError::NoPoint(p.note.clone().unwrap_or_default());
        DemandPoint::of(machine, p, None, None).ok_or_else(why)
    };
    let (held, eased) = (demand(&points[0])?, demand(&points[1])?);
    if !held.sound {
        return Err(SupplyError::NoPoint(silent(&points[0])));
    }
    Ok(Asked { full, road: Vec::new(), road_failed: Vec::new(), top_speed_m_s: None, held, eased })
}

fn silent(point: &PointResult) -> String {
    point.note.clone().unwrap_or_else(|| format!("no steady running ({})", point.status.word()))
}

fn on_road(
    road: &OnRoad<'_>,
    full: Vec<DemandPoint>,
    torque: Vec<(f64, f64)>,
    (hold, ease): (Hold, Option<f64>),
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Result<Asked, SupplyError> {
    let most = torque.clone();
    let guess = |rpm: f64, wanted: f64| {
        let full = linear(&most, rpm);
        (full > 0.0).then(|| (GUESS.0 + GUESS.1 * (wanted / full).clamp(0.0, 1.0)).min(1.0))
    };
    let top = FullThrottle::through(torque).and_then(|curve| top_speed::on_curve(road, &curve));
    let top = top.ok_or(SupplyError::Road(RoadError::HoldsNone))?.speed_m_s;
    let machine = road.machine;
    let fixed = match hold {
        Hold::Point { rpm, throttle } => Some((throttle, rpm)),
        Hold::Speed(_) | Hold::Usual => None,
    };
    let held_speed = match hold {
        Hold::Speed(speed) if speed > TRIED * top => return Err(SupplyError::Unreachable { speed, top }),
        Hold::Speed(speed) => speed,
        Hold::Point { .. } | Hold::Usual => USUAL_SPEED * top,
    };
    let eased_speed = ease.unwrap_or(EASED_SPEED * held_speed);
    let beside = |v: &f64| [held_speed, eased_speed].iter().any(|other| (v / other - 1.0).abs() < BESIDE);
    let others = ROAD.iter().map(|share| share * top).filter(|v| !beside(v));
    let mut speeds: Vec<f64> = others.chain([held_speed, eased_speed]).collect();
    speeds.sort_by(f64::total_cmp);
    let done = tasks::in_order(speeds.len(), threads, stop, &|i| {
        let found = road.hold(&Speed { speed_m_s: speeds[i], gear: None }, &guess);
        on_run(road.machine.engine.highest_rpm * 0.6);
        found
    });
    let (mut points, mut road_failed, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    for (speed, found) in speeds.iter().zip(done) {
        match found.ok_or(SupplyError::Stopped)?.unwrap_or_else(|bug| Err(RoadError::bug(&bug))) {
            Ok(p) => points.extend(DemandPoint::of(machine, &p.point, Some(*speed), Some(p.gear))),
            Err(error) => {
                road_failed.push((*speed, error.to_string()));
                failed.push((*speed, error));
            }
        }
    }
    let mut why = |speed: f64| {
        let place = failed.iter().position(|f| (f.0 - speed).abs() <= 0.0)?;
        Some(failed.swap_remove(place).1)
    };
    let at = |speed: f64| points.iter().find(|p| p.speed_m_s.is_some_and(|s| (s - speed).abs() <= 0.0)).cloned();
    let held = match fixed {
        Some(place) => {
            let found = rpm_points(machine, &[place], road.settings, (threads, stop), on_run);
            let point = found.ok_or(SupplyError::Stopped)?.swap_remove(0);
            let demand = DemandPoint::of(machine, &point, None, None).filter(|d| d.sound);
            demand.ok_or_else(|| SupplyError::NoPoint(silent(&point)))?
        }
        None => match at(held_speed) {
            Some(held) => held,
            None => {
                return Err(match why(held_speed) {
                    Some(RoadError::TooWeak { .. }) => SupplyError::Unreachable { speed: held_speed, top },
                    Some(error) => SupplyError::Road(error),
                    None => SupplyError::NoPoint("the speed held was not found".to_owned()),
                });
            }
        },
    };
    // the nearest slower point that was found, where the wanted one was not
    let slower = || points.iter().rev().find(|p| p.fuel_m3_s < held.fuel_m3_s).cloned();
    let eased = match (at(eased_speed), why(eased_speed)) {
        (Some(eased), _) => eased,
        (None, Some(error)) if ease.is_some() => return Err(SupplyError::Road(error)),
        (None, _) => slower().ok_or_else(|| SupplyError::NoPoint("no slower speed was found".to_owned()))?,
    };
    points.dedup_by(|a, b| a.rpm.to_bits() == b.rpm.to_bits() && a.throttle.to_bits() == b.throttle.to_bits());
    Ok(Asked { full, road: points, road_failed, top_speed_m_s: Some(top), held, eased })
}
