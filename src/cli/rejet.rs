//! `bellmouth rejet`: which parts to fit.

use std::sync::atomic::Ordering;
use std::sync::{Mutex, PoisonError};

use super::arguments::Rejet;
use super::console::{self, say, style};
use super::counted::counted;
use super::ending::{Ending, Failure};
use super::load::load;
use super::map::settings;
use super::progress::Progress;
use super::{assembled, clock, free_parts, interrupt};
use crate::diagnostics::{Problem, Warned, render};
use crate::hardware::engine::Engine;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::report::rejet_json;
use crate::report::rejet_text::rejet_text_in;
use crate::setup::{Instead, Setup, flow_numbers};
use crate::study::how_sure;
use crate::study::map::Grid;
use crate::study::rejet::answer::answer;
use crate::study::rejet::card::{self, ALTITUDES, Card, TEMPERATURES};
use crate::study::rejet::misfit::wanted;
use crate::study::rejet::result::RejetResult;
use crate::study::rejet::runs::Bench;
use crate::study::rejet::search::{self, Found, Listener};

/// Throttles of the usual grid [slide lift over bore].
const THROTTLES: [f64; 7] = [0.0625, 0.125, 0.25, 0.375, 0.5, 0.75, 1.0];
/// Speeds of the usual grid over the highest one [-]: below them a full throttle is not ridden.
const SPEEDS: [f64; 4] = [0.35, 0.55, 0.75, 0.95];

/// Chooses the parts and says what they give.
///
/// # Errors
/// Bad input, or stdout that cannot be written.
pub fn run(arguments: &Rejet) -> Result<Ending, Failure> {
    let settings = settings(arguments.work.cell_size, None);
    let own = load(&arguments.setup, settings.cell_size)?;
    let instead = Instead {
        altitude: arguments.altitude.clone(),
        temperature: arguments.temperature.clone(),
        humidity: arguments.humidity.clone(),
        fuel: arguments.fuel.clone(),
        snap: None,
    };
    let setup = if instead.is_some() { elsewhere(&own, &instead)? } else { own };
    assembled::check(&setup.machine, &settings)?;
    let stocks = free_parts::stocks(arguments.free.as_ref().map(|f| f.0.as_slice()), &setup)?;
    if arguments.card && !stocks.iter().any(|s| s.part == Part::MainJet) {
        return Err(Failure::Input("error: `--card` is about the main jet, which is not free here".to_owned()));
    }
    let grid = grid(arguments, &setup.machine.engine);
    let wanted = wanted(&grid, &setup.targets);
    if wanted.iter().all(Option::is_none) {
        return Err(Failure::Input("error: the set-up wants no mixture at any of these throttles".to_owned()));
    }
    let airs = if arguments.card { airs(&setup, &instead)? } else { Vec::new() };

    let progress = Watching::default();
    let heard = |rpm: f64| progress.run(rpm);
    let (threads, stop) = (super::map::threads(arguments.work.threads), interrupt::listen());
    let bench = Bench {
        machine: &setup.machine,
        stocks: &stocks,
        grid: &grid,
        settings: &settings,
        threads,
        stop: &stop,
        heard: &heard,
    };
    let names: Vec<&str> = stocks.iter().map(|s| s.part.name()).collect();
    say(format_args!(
        "{}: {} on {}; free: {}",
        setup.name,
        counted(bench.points(), "point"),
        counted(threads.get(), "thread"),
        names.join(", ")
    ));
    let Some(found) = search::run(&bench, &wanted, &progress) else {
        say("stopped before the map as fitted was done: nothing to report");
        return Ok(Ending::Interrupted);
    };
    let card = found.settled.then(|| card_of(&bench, &found, &airs, &progress)).flatten();
    let card = card.map(|c| c.with_flow_numbers(&|bore| flow_numbers::number(&setup, Part::MainJet, bore)));
    let stopped = found.interrupted || (arguments.card && found.settled && card.is_none());
    let sure = found.settled && !arguments.skip_how_sure && !stopped;
    let how_sure = sure.then(|| how_sure::rejet::answer(&setup, &bench, &found, &found.counted, &progress)).flatten();
    let stopped = stopped || sure && how_sure.is_none() && stop.load(Ordering::Relaxed);
    let result = RejetResult { how_sure, ..answer(&setup, &bench, &found, &wanted, card) };
    console::print(&if arguments.work.json {
        rejet_json(&result)?
    } else {
        rejet_text_in(&result, &arguments.units.chosen())
    })?;
    Ok(if stopped { Ending::Interrupted } else { Ending::Done })
}

/// The set-up in another air or with another fuel.
fn elsewhere(own: &Setup, instead: &Instead) -> Result<Setup, Failure> {
    let Warned { value, warnings } =
        own.instead(instead).map_err(|report| Failure::Input(render(&report.problems, style())))?;
    let about = |p: &&Problem| p.place.as_ref().is_some_and(|p| p.source.name == "command line");
    let new: Vec<_> = warnings.iter().filter(about).cloned().collect();
    if !new.is_empty() {
        say(render(&new, style()).trim_end());
    }
    Ok(value)
}

/// The machine in each air of the card.
fn airs(setup: &Setup, own: &Instead) -> Result<Vec<Machine>, Failure> {
    let mut airs = Vec::with_capacity(ALTITUDES.len() * TEMPERATURES.len());
    for altitude in ALTITUDES {
        for temperature in TEMPERATURES {
            let instead = Instead {
                altitude: Some(format!("{altitude} m")),
                temperature: Some(format!("{temperature} degC")),
                ..own.clone()
            };
            airs.push(elsewhere(setup, &instead)?.machine);
        }
    }
    Ok(airs)
}

fn card_of(bench: &Bench<'_>, found: &Found, airs: &[Machine], progress: &Watching) -> Option<Card> {
    let (model, _) = found.around.as_ref().filter(|_| !airs.is_empty())?;
    card::card(&card::Asked { bench, home: &found.after, model, airs }, progress)
}

/// The grid asked for, or the usual coarse one.
fn grid(arguments: &Rejet, engine: &Engine) -> Grid {
    let usual = || SPEEDS.map(|s| (s * engine.highest_rpm / 50.0).round() * 50.0).to_vec();
    Grid {
        throttles: arguments.throttle.clone().map_or_else(|| THROTTLES.to_vec(), |v| v.0),
        speeds: arguments.rpm.clone().map_or_else(usual, |v| v.0),
    }
}

/// Says what is being run, with a bar on a terminal.
#[derive(Default)]
struct Watching(Mutex<Option<(String, Progress)>>);

impl Listener for Watching {
    fn begin(&self, what: &str, runs: usize, cost: f64) {
        let text = format!("{what}: {}", counted(runs, "run"));
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some((text, Progress::over(runs, "run", cost)));
    }

    fn run(&self, rpm: f64) {
        if let Some((_, progress)) = self.0.lock().unwrap_or_else(PoisonError::into_inner).as_mut() {
            progress.advance(rpm);
        }
    }

    fn end(&self, mean_loss: Option<f64>) {
        let Some((text, progress)) = self.0.lock().unwrap_or_else(PoisonError::into_inner).take() else { return };
        let took = clock::exact(progress.finish());
        match mean_loss {
            Some(loss) => say(format_args!("{text} in {took}, misfit {:.4}", loss.sqrt())),
            None => say(format_args!("{text} in {took}")),
        }
    }
}
