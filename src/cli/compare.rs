//! `bellmouth compare`: the same engine with two or more carburettors.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use super::arguments::{Compare, SetupFile};
use super::console::{self, say};
use super::ending::{Ending, Failure};
use super::lock::Lock;
use super::progress::SharedProgress;
use super::{assembled, clock, compare_files, grid, interrupt, load, map, same_engine};
use crate::report::compare_text::compare_text_in;
use crate::report::{Sink, compare_json};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::compare::{self, CompareResult, Fitted};
use crate::study::compare_verdict::{against, breathing};
use crate::study::how_sure::compare::{HowSure, Question};
use crate::study::same_mixture;
use crate::study::selection::spread;
use crate::study::sweep::cost;

/// Version of the layout of `compare.json`; additions do not change it.
const SCHEMA: u32 = 1;
/// Most set-ups: curves beyond cannot be told apart.
const MOST: usize = 5;
/// Range of speeds in which the mixture is brought to the same, as shares of the highest [-], and how many speeds.
const PULLING: (f64, f64, usize) = (0.5, 0.9, 3);

/// Compares the set-ups.
///
/// # Errors
/// Set-ups that are wrong or not of the same engine, or something could not be written.
pub fn run(arguments: &Compare) -> Result<Ending, Failure> {
    let settings = map::settings(arguments.work.cell_size, None);
    let units = arguments.units.chosen();
    refuse_count_and_twins(&arguments.setups)?;
    let setups = arguments
        .setups
        .iter()
        .map(|path| {
            let setup =
                load::load(&SetupFile { path: path.clone(), root: arguments.root.clone() }, settings.cell_size)?;
            assembled::check(&setup.machine, &settings).map(|()| setup)
        })
        .collect::<Result<Vec<Setup>, Failure>>()?;
    same_engine::check(&arguments.setups, &setups)?;
    let list = arguments.rpm.clone().map(|values| values.0);
    let speeds = grid::build(None, list, &setups[0].machine.engine)
        .map_err(|text| Failure::Input(format!("error: {text}")))?
        .speeds;
    let folder = arguments.out.clone().unwrap_or_else(|| Path::new("out").join("compare"));
    let threads = map::threads(arguments.work.threads);
    let sink = Sink::open(&folder)?;
    let _lock = Lock::take(&sink)?;
    let stop = interrupt::listen();
    let with = Runs {
        settings: &settings,
        threads,
        stop: &stop,
        same: !arguments.as_given,
        how_sure: !arguments.skip_how_sure,
    };
    let result = with.compared(&setups, &speeds);
    if result.as_given.is_empty() {
        say("stopped before one carburettor was done; nothing is written");
        return Ok(Ending::Interrupted);
    }
    let written = compare_files::write(&sink, &result, &units)?;
    console::print(&if arguments.work.json { compare_json(&result)? } else { compare_text_in(&result, &units) })?;
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    if result.interrupted {
        return Ok(Ending::Interrupted);
    }
    let unsettled = result.judged().iter().flat_map(|f| &f.full).any(|p| p.point.unsettled());
    Ok(if unsettled { Ending::NotConverged } else { Ending::Done })
}

/// One file only, too many, or one twice.
fn refuse_count_and_twins(paths: &[PathBuf]) -> Result<(), Failure> {
    let help = "help: bellmouth compare a.toml b.toml";
    if paths.len() < 2 {
        return Err(Failure::Input(format!(
            "error: one set-up has nothing to be compared with; name two or more\n{help}"
        )));
    }
    if paths.len() > MOST {
        return Err(Failure::Input(format!("error: {} set-ups were named; at most {MOST} are compared", paths.len())));
    }
    let real = |path: &PathBuf| path.canonicalize().unwrap_or_else(|_| path.clone());
    for (i, path) in paths.iter().enumerate() {
        if paths[..i].iter().any(|other| real(other) == real(path)) {
            let name = path.display();
            return Err(Failure::Input(format!("error: `{name}` is named twice; name two different set-ups\n{help}")));
        }
    }
    Ok(())
}

/// How the points are run.
struct Runs<'a> {
    settings: &'a Settings,
    threads: NonZeroUsize,
    stop: &'a AtomicBool,
    same: bool,
    how_sure: bool,
}

impl Runs<'_> {
    /// All runs, or those that were finished before they were stopped.
    fn compared(&self, setups: &[Setup], speeds: &[f64]) -> CompareResult {
        let with = (self.threads, self.stop);
        let at = pulling(speeds, setups[0].machine.engine.highest_rpm);
        let each = |list: &[f64]| list.iter().map(|&rpm| cost(rpm)).sum::<f64>() / list.len().max(1) as f64;
        let sweeps = compare::THROTTLES.len() * speeds.len() * if self.same { 2 } else { 1 };
        let matching = if self.same { same_mixture::runs(at.len()) } else { 0 };
        let runs = setups.len() * (sweeps + matching);
        let whole = setups.len() as f64 * (sweeps as f64 * each(speeds) + matching as f64 * each(&at));
        say(format_args!("{} carburettors on one engine, {runs} runs", setups.len()));
        let watched = SharedProgress::over(runs, "run", whole);
        let heard = |rpm| watched.advance(rpm);
        let fitted =
            |setup: &Setup, machine: &_| compare::fitted(&setup.name, machine, speeds, self.settings, with, &heard);
        let as_given: Vec<Fitted> = setups.iter().map_while(|s| fitted(s, &s.machine)).collect();
        let brought = |setup: &Setup| {
            let targets = &setups[0].targets;
            let brought = same_mixture::brought(&setup.machine, targets, &at, self.settings, with, &heard)?;
            Some(Fitted { ended: brought.ended, ..fitted(setup, &brought.machine)? })
        };
        let all = as_given.len() == setups.len();
        let same_mixture = if all && self.same { setups.iter().map(brought).collect::<Option<Vec<_>>>() } else { None };
        said(watched, runs);
        let interrupted = !all || self.same && same_mixture.is_none();
        let judged = same_mixture.as_ref().unwrap_or(&as_given);
        let indices = compare::indices(&setups[0].machine, speeds);
        let sure = self.how_sure && !interrupted;
        let how_sure = sure.then(|| self.how_sure(setups, speeds, &at, judged)).flatten();
        CompareResult {
            schema: SCHEMA,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            verdicts: judged.iter().skip(1).map(|other| against(&judged[0], other)).collect(),
            breathing: judged.iter().map(|f| breathing(f, &indices)).collect(),
            speeds: speeds.to_vec(),
            inlet_mach_index: indices,
            interrupted: interrupted || sure && how_sure.is_none() && self.stop.load(Ordering::Relaxed),
            how_sure,
            as_given,
            same_mixture,
        }
    }

    /// Whether the verdict holds where the estimates are off, by the speeds at which all fire.
    fn how_sure(&self, setups: &[Setup], speeds: &[f64], pulling: &[f64], judged: &[Fitted]) -> Option<HowSure> {
        let fire = |i: usize| judged.iter().all(|f| f.full[i].point.converged && f.full[i].point.fired);
        let speeds: Vec<f64> = (0..speeds.len()).filter(|i| fire(*i)).map(|i| speeds[i]).collect();
        if speeds.is_empty() {
            say("no speed at which all fire: how sure that is stays open");
            return None;
        }
        let list: Vec<&Setup> = setups.iter().collect();
        let question = |heard| Question {
            setups: &list,
            speeds: &speeds,
            pulling,
            same: self.same,
            settings: self.settings,
            with: (self.threads, self.stop),
            heard,
        };
        let (ranking, ends) = question(&|_| ()).runs();
        say(format_args!("how sure: every estimate moved once, five to both ends, at most {} runs", ranking + ends));
        // a run of coarse cells is cheap, so the bar counts runs
        let watched = SharedProgress::over(ranking + ends, "run", (ranking + ends) as f64 * cost(1.0));
        let answer = question(&|_| watched.advance(1.0)).answer();
        said(watched, ranking + ends);
        answer
    }
}

fn said(progress: SharedProgress, runs: usize) {
    say(format_args!("{runs} runs in {}", clock::exact(progress.finish())));
}

/// A few speeds at which the engine pulls.
fn pulling(speeds: &[f64], highest: f64) -> Vec<f64> {
    let inside: Vec<f64> =
        speeds.iter().copied().filter(|rpm| (PULLING.0 * highest..=PULLING.1 * highest).contains(rpm)).collect();
    let from = if inside.is_empty() { speeds.to_vec() } else { inside };
    spread(from.len(), PULLING.2).into_iter().map(|i| from[i]).collect()
}
