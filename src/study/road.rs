//! What the engine does on the road: the throttle that holds a speed, solved on the running engine, and the top speed.
//!
//! The speed and the gear give crank speed and torque wanted ([`RoadVehicle`]). The throttle is the smallest one found at
//! which the simulated brake torque meets it within [`TOLERANCE`]: steps from a first guess to a change of sign, then the
//! chord over the logarithm of the throttle, sharpened by halving. Each run starts from the one before, if that was
//! periodic; speeds do not start from each other, so the same input gives the same bits on any number of threads.

use std::f64::consts::PI;
use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::part_say::{self, Say};
use super::point::{PointResult, RigState};
use super::road_error::RoadError;
use super::road_throttle::{self, Search, Start, throttle};
use super::tasks;
use super::top_speed::{self, TopSpeed};
use crate::hardware::machine::Machine;
use crate::hardware::road_vehicle::RoadVehicle;
use crate::rig::settings::Settings;

/// Largest departure of the torque from the wanted one, as a share of it [-].
pub const TOLERANCE: f64 = 2.5e-3;
/// The same where little torque is wanted [N m].
pub const LEAST_TOLERANCE: f64 = 0.05;
/// Lowest crank speed in a gear above the first, over the idle speed [-]: slower, a rider takes a lower gear. Common
/// practice, no source.
pub const LEAST_RPM: f64 = 2.0;

/// A speed asked for.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    /// Road speed [m/s].
    pub speed_m_s: f64,
    /// Gear from 1; none for the usual one, the highest that reaches the speed above [`LEAST_RPM`] times the idle speed.
    pub gear: Option<usize>,
}

/// A speed held.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RoadPoint {
    /// Road speed [m/s].
    pub speed_m_s: f64,
    /// Gear from 1.
    pub gear: usize,
    /// Brake power wanted [kW].
    pub wanted_kw: f64,
    /// Brake torque wanted [N m].
    pub wanted_nm: f64,
    /// The operating point that gives it: throttle, rpm, AFR, lambda, brake power, fuel.
    pub point: PointResult,
    /// Fuel by volume, as cold as in the bowl [m3/s].
    pub fuel_m3_s: Option<f64>,
    /// Fuel for the way [L/100 km].
    pub l_per_100_km: Option<f64>,
    /// Runs of the engine that the search took.
    pub runs: u32,
    /// Parts by their say in the mixture there, most first; empty if it was not asked for or none could be moved.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub say: Vec<Say>,
}

/// The machine on the road.
#[derive(Debug, Clone, Copy)]
pub struct OnRoad<'a> {
    /// Engine, carburettor, air and fuel.
    pub machine: &'a Machine,
    /// What it moves.
    pub vehicle: &'a RoadVehicle,
    /// How finely and how long.
    pub settings: &'a Settings,
}

impl OnRoad<'_> {
    /// Power wanted at the crank at `speed` [m/s] in the free air of the machine [W].
    #[must_use]
    pub fn wanted_power(&self, speed: f64) -> f64 {
        self.vehicle.crank_power(speed, self.machine.air.density())
    }

    /// Crank speed [rpm] and torque wanted [N m] at `speed` [m/s] in `gear`; none if there is no such gear.
    #[must_use]
    pub fn wanted(&self, speed: f64, gear: usize) -> Option<(f64, f64)> {
        let rpm = self.vehicle.rpm(speed, gear)?;
        Some((rpm, self.wanted_power(speed) / (rpm * PI / 30.0)))
    }

    /// The gears that may serve `asked`, the first to be tried first.
    ///
    /// # Errors
    /// None may: why.
    fn candidates(&self, asked: &Asked) -> Result<Vec<usize>, RoadError> {
        let (engine, last) = (&self.machine.engine, self.vehicle.gears.len());
        let rpm = |gear: usize| self.vehicle.rpm(asked.speed_m_s, gear).unwrap_or(f64::NAN);
        if let Some(gear) = asked.gear.filter(|g| !(1..=last).contains(g)) {
            return Err(RoadError::NoGear { gear, last });
        }
        let (from, to) = asked.gear.map_or((1, last), |gear| (gear, gear));
        if rpm(to) > engine.highest_rpm * (1.0 + 1e-9) {
            return Err(RoadError::PastHighest { rpm: rpm(to), gear: to, highest: engine.highest_rpm });
        }
        let lowest = engine.idle_rpm;
        if rpm(from).is_nan() || rpm(from) < lowest * (1.0 - 1e-9) {
            return Err(RoadError::BelowIdle { rpm: rpm(from), gear: from, idle: lowest });
        }
        let usual = |gear: &usize| asked.gear.is_some() || *gear == 1 || rpm(*gear) >= LEAST_RPM * lowest;
        let able = |gear: &usize| rpm(*gear) >= lowest && rpm(*gear) <= engine.highest_rpm * (1.0 + 1e-9);
        let mut gears: Vec<usize> = (from..=to).rev().filter(|g| able(g) && usual(g)).collect();
        if gears.is_empty() {
            // between two gears' usual speeds: the lowest that the engine can turn in
            gears = (from..=to).find(able).into_iter().collect();
        }
        if asked.gear.is_some() {
            gears = vec![from]
        }
        Ok(gears)
    }

    /// The gear in which the speed `asked` can be held, by full throttle alone.
    ///
    /// # Errors
    /// In none, and why.
    pub fn gear_for(&self, asked: &Asked) -> Result<usize, RoadError> {
        let mut weak: Option<Weak> = None;
        for gear in self.candidates(asked)? {
            let Some((rpm, wanted)) = self.wanted(asked.speed_m_s, gear) else { continue };
            match road_throttle::has(self.machine, rpm, wanted, self.settings)? {
                has_nm if has_nm >= wanted => return Ok(gear),
                has_nm => weak = Weak::stronger(weak, gear, rpm, has_nm),
            }
        }
        Err(self.too_weak(asked, weak))
    }

    fn too_weak(&self, asked: &Asked, weak: Option<Weak>) -> RoadError {
        let wanted_kw = 1e-3 * self.wanted_power(asked.speed_m_s);
        match weak {
            Some(Weak { gear, rpm, has_kw }) => RoadError::TooWeak { gear, rpm, has_kw, wanted_kw },
            None => RoadError::Failed("no gear serves this speed".into()),
        }
    }

    /// Holds the speed `asked`; `start` gives a first guess of the throttle at a crank speed and torque.
    ///
    /// # Errors
    /// The speed cannot be held, and why.
    pub fn hold(&self, asked: &Asked, start: &dyn Fn(f64, f64) -> Option<f64>) -> Result<RoadPoint, RoadError> {
        self.found(asked, start).map(|(point, _)| point)
    }

    /// As [`Self::hold`], with the parts that have a say there: one run more for each part.
    ///
    /// # Errors
    /// As [`Self::hold`].
    pub fn here(&self, asked: &Asked, start: &dyn Fn(f64, f64) -> Option<f64>) -> Result<RoadPoint, RoadError> {
        let (held, state) = self.found(asked, start)?;
        let say = state.map(|state| part_say::at(self.machine, &held.point, state, self.settings)).unwrap_or_default();
        Ok(RoadPoint { say, ..held })
    }

    fn found(
        &self,
        asked: &Asked,
        start: &dyn Fn(f64, f64) -> Option<f64>,
    ) -> Result<(RoadPoint, Option<RigState>), RoadError> {
        let mut weak: Option<Weak> = None;
        for gear in self.candidates(asked)? {
            let Some((rpm, wanted_nm)) = self.wanted(asked.speed_m_s, gear) else { continue };
            let tolerance = (TOLERANCE * wanted_nm.abs()).max(LEAST_TOLERANCE);
            let begin = Start { rpm, wanted: wanted_nm, tolerance, guess: start(rpm, wanted_nm) };
            match throttle(self.machine, &begin, self.settings)? {
                Search::Found(found) => {
                    return Ok((self.held(asked.speed_m_s, gear, wanted_nm, found.point, found.runs), found.state));
                }
                Search::TooWeak { has_nm } => weak = Weak::stronger(weak, gear, rpm, has_nm),
            }
        }
        Err(self.too_weak(asked, weak))
    }

    fn held(&self, speed: f64, gear: usize, wanted: f64, point: PointResult, runs: u32) -> RoadPoint {
        let fuel_m3_s = point.fuel_g_s.map(|g| 1e-3 * g / self.machine.fuel.density);
        RoadPoint {
            speed_m_s: speed,
            gear,
            wanted_kw: 1e-3 * self.wanted_power(speed),
            wanted_nm: wanted,
            fuel_m3_s,
            // m3/s over m/s is m3 per metre: 1e3 L and 1e5 m
            l_per_100_km: fuel_m3_s.filter(|_| speed > 0.0).map(|q| 1e8 * q / speed),
            point,
            runs,
            say: Vec::new(),
        }
    }

    /// The highest speed at full throttle, on the running engine.
    ///
    /// # Errors
    /// It reaches none, or points failed.
    pub fn top_speed(&self) -> Result<TopSpeed, RoadError> {
        top_speed::solved(self)
    }
}

/// A gear that is too weak.
#[derive(Debug, Clone, Copy)]
struct Weak {
    gear: usize,
    rpm: f64,
    has_kw: f64,
}

impl Weak {
    /// The one with more power.
    fn stronger(other: Option<Self>, gear: usize, rpm: f64, has_nm: f64) -> Option<Self> {
        let this = Self { gear, rpm, has_kw: 1e-3 * has_nm * rpm * PI / 30.0 };
        other.filter(|o| o.has_kw >= this.has_kw).or(Some(this))
    }
}

/// Holds each of `asked`, in their order, on `threads` threads, without the parts' say. None if it was stopped before its
/// end.
pub fn hold_all(
    road: &OnRoad<'_>,
    asked: &[Asked],
    (threads, stop): (NonZeroUsize, &AtomicBool),
) -> Option<Vec<Result<RoadPoint, RoadError>>> {
    let held = tasks::in_order(asked.len(), threads, stop, &|i| road.hold(&asked[i], &|_, _| None));
    held.into_iter().map(|r| r.map(|r| r.unwrap_or_else(|bug| Err(RoadError::bug(&bug))))).collect()
}
