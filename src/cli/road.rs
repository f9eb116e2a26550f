//! `--speed` and the level-road line of a map.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::arguments::Map;
use super::console::{say, style};
use super::counted::counted;
use super::ending::Failure;
use crate::diagnostics::{Problem, render};
use crate::report::{road_sentence, top_words};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::map::MapResult;
use crate::study::road::{Asked, OnRoad};
use crate::study::road_error::RoadError;
use crate::study::road_line::Between;
use crate::study::road_result::{Here, RoadResult};
use crate::study::tasks;
use crate::units::road::SpeedUnit;
use crate::units::{Dimension, parse};

/// Lowest and highest speed accepted [m/s].
const RANGE: (f64, f64) = (0.5, 150.0);
/// Most speeds of one command.
const MOST_SPEEDS: usize = 24;
/// Highest gear accepted.
const MOST_GEARS: usize = 10;

/// A road speed as one argument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoadSpeed {
    /// Speed [m/s].
    pub speed: f64,
    /// Unit in which it was written.
    pub unit: SpeedUnit,
}

/// Reads `60 mph` or `95 km/h`.
///
/// # Errors
/// A sentence when it is no road speed or outside the range.
pub fn speed(text: &str) -> Result<RoadSpeed, String> {
    let speed = parse(text, Dimension::RoadSpeed).map_err(|error| {
        format!("{error}: write a road speed with its unit, {}, as `60 mph`", Dimension::RoadSpeed.unit_names())
    })?;
    if (RANGE.0..=RANGE.1).contains(&speed) {
        Ok(RoadSpeed { speed, unit: SpeedUnit::of(text) })
    } else {
        Err(format!("a road speed is from 2 to 540 km/h (1 to 335 mph), not `{}`", text.trim()))
    }
}

/// Reads a gear.
///
/// # Errors
/// A sentence when it is no gear.
pub fn gear(text: &str) -> Result<usize, String> {
    let read = text.trim().parse().ok().filter(|n| (1..=MOST_GEARS).contains(n));
    read.ok_or_else(|| format!("write a whole number from 1 to {MOST_GEARS}, the first gear as `--gear 1`"))
}

/// The speeds asked for, each with the gear that holds it; refused before anything long is run.
///
/// # Errors
/// No [road] in the set-up, or a speed that the engine cannot hold: why, and the highest that it can.
pub fn asked(
    arguments: &Map,
    setup: &Setup,
    settings: &Settings,
    threads: NonZeroUsize,
) -> Result<Vec<Asked>, Failure> {
    if arguments.speed.is_empty() {
        return Ok(Vec::new());
    }
    let refused = |problem: Problem| Failure::Input(render(&[problem], style()));
    let Some(vehicle) = &setup.road else {
        let problem = Problem::error("`--speed` needs the vehicle on the road, and the set-up has none")
            .help("add a table [road] with mass, tyre, primary, gears and final_drive: see `bellmouth init`");
        return Err(refused(problem));
    };
    if arguments.speed.len() > MOST_SPEEDS {
        let problem = Problem::error(format!("`--speed` is given {} times", arguments.speed.len()))
            .allowed(format!("at most {MOST_SPEEDS} speeds"));
        return Err(refused(problem));
    }
    let road = OnRoad { machine: &setup.machine, vehicle, settings };
    let never = AtomicBool::new(false);
    let gears = tasks::in_order(arguments.speed.len(), threads, &never, &|i| {
        road.gear_for(&Asked { speed_m_s: arguments.speed[i].speed, gear: arguments.gear })
    });
    let mut asked = Vec::with_capacity(gears.len());
    for (wanted, gear) in arguments.speed.iter().zip(gears.into_iter().flatten()) {
        match gear.unwrap_or_else(|bug| Err(RoadError::bug(&bug))) {
            Ok(gear) => asked.push(Asked { speed_m_s: wanted.speed, gear: Some(gear) }),
            Err(error) => return Err(refused(refusal(&road, *wanted, arguments.gear, &error))),
        }
    }
    Ok(asked)
}

/// Why a speed cannot be held, with the highest that can.
fn refusal(road: &OnRoad<'_>, wanted: RoadSpeed, gear: Option<usize>, error: &RoadError) -> Problem {
    let named = match gear {
        Some(gear) => format!("`--speed` {} in gear {gear} cannot be held", wanted.unit.said(wanted.speed)),
        None => format!("`--speed` {} cannot be held", wanted.unit.said(wanted.speed)),
    };
    let problem = Problem::error(format!("{named}: {error}"));
    match error {
        RoadError::NoGear { last, .. } => problem.allowed(format!("gear 1 to {last}")),
        RoadError::PastHighest { gear, highest, .. } if *gear < road.vehicle.gears.len() => {
            let most = road.vehicle.speed(*highest, *gear).unwrap_or(f64::NAN);
            problem
                .allowed(format!("up to {} in this gear", wanted.unit.both(most)))
                .help("leave out `--gear`, or take a higher one")
        }
        RoadError::BelowIdle { gear, idle, .. } => {
            let least = road.vehicle.speed(*idle, *gear).unwrap_or(f64::NAN);
            problem
                .allowed(format!("from {} in this gear", wanted.unit.both(least)))
                .help("take a lower gear, or a higher speed")
        }
        RoadError::PastHighest { .. } | RoadError::TooWeak { .. } => match road.top_speed() {
            Ok(top) => problem.help(top_words(&top, wanted.unit)),
            Err(none) => problem.help(none.to_string()),
        },
        _ => problem,
    }
}

/// The lines of `map` and the speeds asked for; whether that came to its end.
pub fn run(
    setup: &Setup,
    map: &mut MapResult,
    asked: &[Asked],
    unit: SpeedUnit,
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
) -> bool {
    let Some(vehicle) = &setup.road else { return true };
    let road = OnRoad { machine: &setup.machine, vehicle, settings };
    let mut result = RoadResult::of(map, &road, unit);
    if asked.is_empty() || map.interrupted {
        map.road = Some(result);
        return map.interrupted || asked.is_empty();
    }
    say(format_args!("looking for the throttle of {}", counted(asked.len(), "road speed")));
    let between = Between::of(map);
    let held = tasks::in_order(asked.len(), threads, stop, &|i| {
        road.here(&asked[i], &|rpm, torque| between.throttle(rpm, torque))
    });
    drop(between);
    let mut whole = true;
    for (asked, held) in asked.iter().zip(held) {
        let (point, refused) = match held.map(|r| r.unwrap_or_else(|bug| Err(RoadError::bug(&bug)))) {
            Some(Ok(point)) => (Some(point), None),
            Some(Err(error)) => (None, Some(error.to_string())),
            None => {
                whole = false;
                (None, Some("stopped before it was computed".to_owned()))
            }
        };
        let mut here = Here { asked: *asked, point, refused, sentence: String::new() };
        here.sentence = road_sentence(map, &result, &here);
        result.here.push(here);
    }
    map.road = Some(result);
    whole
}
