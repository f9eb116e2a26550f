//! From a set-up and the points asked for to the answer.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use thiserror::Error;

use super::asked::Asked;
use super::demand::{Demand, LevelPoint};
use super::jug::measured;
use super::network::{Network, fluids};
use super::result::{Held, PartHead, SupplyResult, TankLimit, TankRide, keeps_up, pairs};
use super::ride::Rider;
use crate::hardware::machine::Machine;
use crate::hardware::supply_line::{Fluid, SupplyLine, effective_bore};
use crate::media::atmosphere::G0;
use crate::numeric::ode::OdeError;
use crate::rig::settings::Settings;
use crate::setup::{Setup, Supply};
use crate::study::point;
use crate::study::road_error::RoadError;
use crate::study::tasks;
use crate::units::road::SpeedUnit;

/// Version of the layout.
const SCHEMA: u32 = 1;
/// Levels at which the held point is simulated, as shares of the bowl's depth [-].
const FALLS: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// The same for the point eased off to.
const EASED_FALLS: [f64; 2] = [0.0, 1.0];

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SupplyError {
    /// It was stopped.
    #[error("stopped")]
    Stopped,
    /// The held point gave no numbers.
    #[error("the point held gave no numbers: {0}")]
    NoPoint(String),
    /// A road speed was asked for and there is no vehicle.
    #[error("a road speed needs the vehicle: write a heading [road] into the set-up, or give --rpm and --throttle")]
    NoVehicle,
    /// The engine cannot reach the speed.
    #[error(
        "the engine does not reach {}: at full throttle the highest speed is about {}",
        SpeedUnit::default().both(*speed), SpeedUnit::default().both(*top)
    )]
    Unreachable {
        /// Speed asked for [m/s].
        speed: f64,
        /// Highest speed [m/s].
        top: f64,
    },
    /// The speed cannot be held for another reason.
    #[error("the speed cannot be held: {0}")]
    Road(RoadError),
    /// The level could not be followed.
    #[error("the level in the bowl could not be followed: {0}")]
    Level(#[from] OdeError),
}

/// Runs of the engine that the levels take.
#[must_use]
pub fn runs() -> usize {
    FALLS.len() + EASED_FALLS.len()
}

/// The whole answer.
///
/// # Errors
/// Stopped, no numbers, or the level could not be followed.
pub fn run(
    setup: &Setup,
    supply: &Supply,
    (asked, speed_unit): (Asked, SpeedUnit),
    settings: &Settings,
    with: (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Result<SupplyResult, SupplyError> {
    let machine = &setup.machine;
    let (fuel, air) = fluids(machine);
    let measured = measured(&supply.line, &supply.jug_tests, fuel, air);
    let line = measured.as_ref().map_or(supply.line, |m| m.line);
    let levels = simulated(machine, &line, &asked, settings, with, on_run)?;
    let limits = tanks(&line).map(|(tank, head)| limit(tank, head, &line, (fuel, air), &asked)).to_vec();
    let held = rides(&line, (fuel, air), machine.air.pressure, levels)?;
    Ok(SupplyResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        name: setup.name.clone(),
        stoichiometric: machine.fuel.stoichiometric,
        line,
        measured,
        limits,
        speed_unit,
        asked,
        held,
        setup: setup.to_json(),
    })
}

fn tanks(line: &SupplyLine) -> [(&'static str, f64); 2] {
    [("full", line.tank.full), ("reserve", line.tank.reserve)]
}

/// Held and eased points with the fuel lowered.
fn simulated(
    machine: &Machine,
    line: &SupplyLine,
    asked: &Asked,
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Result<(Vec<LevelPoint>, Vec<LevelPoint>), SupplyError> {
    let held = FALLS.map(|share| (&asked.held, share * line.bowl.depth()));
    let eased = EASED_FALLS.map(|share| (&asked.eased, share * line.bowl.depth()));
    let all: Vec<_> = held.into_iter().chain(eased).collect();
    let done = tasks::in_order(all.len(), threads, stop, &|i| {
        let (at, fall) = all[i];
        let mut lowered = machine.clone();
        lowered.carburettor.bowl.level_below_bore += fall;
        let point = point::solve(&lowered, at.throttle, at.rpm, None, settings).0;
        on_run(at.rpm);
        LevelPoint::of(&lowered, fall, &point).ok_or_else(|| point.note.unwrap_or_default())
    });
    let mut levels = Vec::new();
    for point in done {
        let point = point.ok_or(SupplyError::Stopped)?.map_err(SupplyError::NoPoint)?;
        levels.push(point.map_err(SupplyError::NoPoint)?);
    }
    let eased = levels.split_off(FALLS.len());
    Ok((levels, eased))
}

fn limit(tank: &str, head: f64, line: &SupplyLine, (fuel, air): (Fluid, Fluid), asked: &Asked) -> TankLimit {
    let network = Network::new(line, fuel, air, true);
    let into_bowl = network.most(head);
    let part = |(part, taken): (_, f64)| PartHead { part, head: taken, share: taken / head };
    let (full, road) = (pairs(&asked.full, false), pairs(&asked.road, true));
    let most = full.iter().map(|p| p.1).reduce(f64::max);
    let (by_rpm, by_speed) = (keeps_up(&full, into_bowl), keeps_up(&road, into_bowl));
    TankLimit {
        tank: tank.to_owned(),
        head,
        hose_end: network.hose_end(head),
        into_bowl,
        effective_bore: effective_bore(into_bowl / (2.0 * G0 * head).sqrt()),
        parts: network.heads(into_bowl).into_iter().map(part).collect(),
        over_full_throttle: most.map(|m| into_bowl / m),
        full_throttle_rpm: by_rpm.map(|k| k.0),
        full_throttle_all: by_rpm.is_some_and(|k| k.1),
        road_speed_m_s: by_speed.map(|k| k.0),
        road_all: by_speed.is_some_and(|k| k.1),
    }
}

fn rides(
    line: &SupplyLine,
    (fuel, air): (Fluid, Fluid),
    air_pressure: f64,
    (levels, eased_levels): (Vec<LevelPoint>, Vec<LevelPoint>),
) -> Result<Held, SupplyError> {
    let nothing = || SupplyError::NoPoint("no level was simulated".to_owned());
    let held = Demand::new(&levels).ok_or_else(nothing)?;
    let eased = Demand::new(&eased_levels).ok_or_else(nothing)?;
    let (network, open_cap) = (Network::new(line, fuel, air, true), Network::new(line, fuel, air, false));
    let vent = line.vent(air);
    let ride = |(tank, head): (&str, f64)| {
        let rider = Rider {
            network: &network,
            open_cap: &open_cap,
            vent: &vent,
            air_pressure,
            head,
            held: &held,
            eased: &eased,
        };
        Ok(TankRide { tank: tank.to_owned(), ride: rider.ride()? })
    };
    let rides = tanks(line).into_iter().map(ride).collect::<Result<_, OdeError>>()?;
    Ok(Held { lean_limit: held.lean_limit(), levels, eased_levels, rides })
}
