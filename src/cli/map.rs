//! `bellmouth map`: air-fuel ratio over throttle and speed.

use std::num::NonZeroUsize;
use std::path::Path;

use super::arguments::Map;
use super::console::{self, say};
use super::counted::counted;
use super::ending::{Ending, Failure};
use super::journal::Journal;
use super::load::load;
use super::lock::Lock;
use super::map_files;
use super::time_limit::TimeLimit;
use super::watch::{self, Reached};
use super::whose::Whose;
use super::{assembled, clock, correct, grid, how_sure, interrupt, next_step, out_folder, road, speeds, spots, steps};
use crate::laws::friction;
use crate::laws::power_correction::Correction;
use crate::report::map_text::map_text_in;
use crate::report::{Sink, map_json};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::machine_solver::MachineSolver;
use crate::study::map::{Grid, MapResult};
use crate::study::point::PointResult;
use crate::units::road::SpeedUnit;

/// Version of the layout of `map.json`; additions do not change it.
const SCHEMA: u32 = 1;

/// Computes the map and writes its files.
///
/// # Errors
/// Bad input, or something could not be written.
pub fn run(arguments: &Map) -> Result<Ending, Failure> {
    let settings = settings(arguments.cell_size, arguments.courant);
    let units = arguments.units.chosen();
    let setup = load(&arguments.setup, settings.cell_size)?;
    assembled::check(&setup.machine, &settings)?;
    let correction = correct::correction(arguments.correct, &setup.machine.air)?;
    let grid = asked_grid(arguments, &setup)?;
    let threads = threads(arguments.threads);
    let asked = road::asked(arguments, &setup, &settings, threads)?;
    let folder = out_folder::choose(arguments.out.as_deref(), &setup.name);
    announce(&setup, &grid, threads, &folder);
    let sink = Sink::open(&folder)?;
    let _lock = Lock::take(&sink)?;
    let whose = Whose::this(settings, &grid, setup.to_json());
    let mut journal = Journal::begin(&sink, &whose, arguments.resume)?;

    let solver = MachineSolver { machine: setup.machine.clone(), settings };
    let solver = TimeLimit::new(solver, arguments.most_seconds, journal.known());
    let stop = interrupt::listen();
    let reached = watch::run(solver, &grid, threads, &stop, &mut journal)?;
    say(format_args!("{} in {}", counted(reached.points.len(), "point"), clock::exact(reached.took)));

    let mut map = result(&setup, grid, reached, correction);
    if arguments.steps && !map.interrupted {
        map.steps = steps::run(&setup.machine, &map.grid, &settings, threads, &stop);
    }
    let sought = spots::find(&setup.machine, &mut map, &settings, threads, &stop);
    let unit = arguments.speed.first().map_or_else(|| SpeedUnit::asked(&units), |s| s.unit);
    let held = road::run(&setup, &mut map, &asked, unit, &settings, (threads, &stop));
    let sure =
        !arguments.how_sure || map.interrupted || how_sure::of_spots(&setup, &mut map, &settings, threads, &stop);
    let written = map_files::write(&sink, &map, &units)?;
    let left_out = map.interrupted || (arguments.steps && map.steps.is_none()) || !sought || !held || !sure;
    if !left_out {
        journal.remove()?;
    }
    console::print(&if arguments.json { map_json(&map)? } else { map_text_in(&map, &units) })?;
    next_step::after_map(&arguments.setup.path, &map, &written);
    Ok(if left_out { Ending::Interrupted } else { ending(&map, arguments.require) })
}

/// The points with what the figures and tables need beside them.
fn result(setup: &Setup, grid: Grid, reached: Reached, correction: Option<Correction>) -> MapResult {
    let corrected = |p: PointResult| match correction {
        Some(c) => p.corrected(c.factor),
        None => p,
    };
    MapResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        name: setup.name.clone(),
        stoichiometric: setup.machine.fuel.stoichiometric,
        friction_form: friction::NAME.to_owned(),
        correction,
        grid,
        targets: setup.targets.clone(),
        points: reached.points.into_iter().map(corrected).collect(),
        interrupted: reached.interrupted,
        setup: setup.to_json(),
        steps: None,
        spots: Vec::new(),
        road: None,
    }
}

/// The grid asked for, with a note when it is a large one.
fn asked_grid(arguments: &Map, setup: &Setup) -> Result<Grid, Failure> {
    let list = |values: &Option<super::arguments::Values>| values.clone().map(|values| values.0);
    let grid = grid::build(list(&arguments.throttle), list(&arguments.rpm), &setup.machine.engine)
        .map_err(|text| Failure::Input(format!("error: {text}")))?;
    let points = grid.throttles.len() * grid.speeds.len();
    if points > grid::MANY_POINTS {
        say(format_args!("note: {points} points will take long; Ctrl-C keeps the finished ones"));
    }
    if let Some(note) = speeds::far_beyond(&grid.speeds, setup.machine.engine.highest_rpm) {
        say(note);
    }
    Ok(grid)
}

/// Threads asked for, or one per processor.
pub(super) fn threads(asked: Option<NonZeroUsize>) -> NonZeroUsize {
    asked.or_else(|| std::thread::available_parallelism().ok()).unwrap_or(NonZeroUsize::MIN)
}

fn announce(setup: &Setup, grid: &Grid, threads: NonZeroUsize, folder: &Path) {
    let (throttles, speeds) = (grid.throttles.len(), grid.speeds.len());
    say(format_args!(
        "{}: {} by {}, {} on {}, into {}",
        setup.name,
        counted(throttles, "throttle"),
        counted(speeds, "speed"),
        counted(throttles * speeds, "point"),
        counted(threads.get(), "thread"),
        folder.display()
    ));
}

/// Settings of the computation, with the cell size and Courant number asked for.
pub(super) fn settings(cell_size: Option<f64>, courant: Option<f64>) -> Settings {
    let usual = Settings::default();
    Settings { cell_size: cell_size.unwrap_or(usual.cell_size), courant: courant.unwrap_or(usual.courant), ..usual }
}

/// Whether enough of the points converged.
fn ending(map: &MapResult, required: f64) -> Ending {
    if map.converged_share() + 1e-12 >= required {
        Ending::Done
    } else {
        say(format_args!(
            "only {:.1} % of the points converged, {:.1} % are required",
            100.0 * map.converged_share(),
            100.0 * required
        ));
        Ending::NotConverged
    }
}
