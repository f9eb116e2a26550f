//! Operating points at which fuel is asked for.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::study::point::{self, PointResult};
use crate::study::tasks;

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
    /// The point held.
    pub held: DemandPoint,
    /// The point eased off to.
    pub eased: DemandPoint,
}

/// Runs each of `places` (throttle, rpm) from rest, in their order; none if it was stopped.
pub fn rpm_points(
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

/// Full throttle at each of `speeds` [rpm]; none if it was stopped. Points without a number are left out.
pub fn full_throttle(
    machine: &Machine,
    speeds: &[f64],
    settings: &Settings,
    with: (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Option<Vec<DemandPoint>> {
    let places: Vec<(f64, f64)> = speeds.iter().map(|rpm| (1.0, *rpm)).collect();
    let points = rpm_points(machine, &places, settings, with, on_run)?;
    Some(points.iter().filter_map(|p| DemandPoint::of(machine, p, None, None)).collect())
}
