//! `bellmouth compare`: the same engine with two or more carburettors.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::sync::{Mutex, PoisonError};

use super::arguments::{Compare, SetupFile};
use super::console::{self, say};
use super::ending::{Ending, Failure};
use super::lock::Lock;
use super::progress::Progress;
use super::{assembled, clock, grid, interrupt, load, map, same_engine};
use crate::plot::carburettors;
use crate::report::{Sink, compare_json, compare_text};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::compare::{self, CompareResult, Fitted};
use crate::study::compare_verdict::{against, breathing};
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
    let settings = map::settings(arguments.cell_size, None);
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
    let threads = arguments.threads.or_else(|| std::thread::available_parallelism().ok()).unwrap_or(NonZeroUsize::MIN);
    let sink = Sink::open(&folder)?;
    let _lock = Lock::take(&sink)?;
    let stop = interrupt::listen();
    let with = Runs { settings: &settings, threads, stop: &stop, same: !arguments.as_given };
    let Some(result) = with.compared(&setups, &speeds) else {
        say("stopped; nothing is written");
        return Ok(Ending::Interrupted);
    };
    let written = write(&sink, &result)?;
    console::print(&if arguments.json { compare_json(&result)? } else { compare_text(&result) })?;
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    let whole = result.judged().iter().flat_map(|f| &f.full).all(|p| p.point.converged || p.point.note.is_some());
    Ok(if whole { Ending::Done } else { Ending::NotConverged })
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
}

impl Runs<'_> {
    /// All runs; none if they were stopped.
    fn compared(&self, setups: &[Setup], speeds: &[f64]) -> Option<CompareResult> {
        let with = (self.threads, self.stop);
        let at = pulling(speeds, setups[0].machine.engine.highest_rpm);
        let each = |list: &[f64]| list.iter().map(|&rpm| cost(rpm)).sum::<f64>() / list.len().max(1) as f64;
        let sweeps = compare::THROTTLES.len() * speeds.len() * if self.same { 2 } else { 1 };
        let matching = if self.same { same_mixture::runs(at.len()) } else { 0 };
        let runs = setups.len() * (sweeps + matching);
        let whole = setups.len() as f64 * (sweeps as f64 * each(speeds) + matching as f64 * each(&at));
        say(format_args!("{} carburettors on one engine, {runs} runs", setups.len()));
        let progress = Mutex::new(Progress::over(runs, "run", whole));
        let heard = |rpm| progress.lock().unwrap_or_else(PoisonError::into_inner).advance(rpm);
        let fitted =
            |setup: &Setup, machine: &_| compare::fitted(&setup.name, machine, speeds, self.settings, with, &heard);
        let as_given = setups.iter().map(|s| fitted(s, &s.machine)).collect::<Option<Vec<Fitted>>>();
        let brought = |setup: &Setup| {
            let targets = &setups[0].targets;
            let machine = same_mixture::brought(&setup.machine, targets, &at, self.settings, with, &heard)?;
            fitted(setup, &machine)
        };
        let same = match (&as_given, self.same) {
            (Some(_), true) => Some(setups.iter().map(brought).collect::<Option<Vec<Fitted>>>()),
            _ => None,
        };
        let took = progress.into_inner().unwrap_or_else(PoisonError::into_inner).finish();
        let (as_given, same_mixture) = (
            as_given?,
            match same {
                Some(same) => Some(same?),
                None => None,
            },
        );
        say(format_args!("{runs} runs in {}", clock::exact(took)));
        let judged = same_mixture.as_ref().unwrap_or(&as_given);
        let indices = compare::indices(&setups[0].machine, speeds);
        Some(CompareResult {
            schema: SCHEMA,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            verdicts: judged[1..].iter().map(|other| against(&judged[0], other)).collect(),
            breathing: judged.iter().map(|f| breathing(f, &indices)).collect(),
            speeds: speeds.to_vec(),
            inlet_mach_index: indices,
            as_given,
            same_mixture,
        })
    }
}

/// A few speeds at which the engine pulls.
fn pulling(speeds: &[f64], highest: f64) -> Vec<f64> {
    let inside: Vec<f64> =
        speeds.iter().copied().filter(|rpm| (PULLING.0 * highest..=PULLING.1 * highest).contains(rpm)).collect();
    let from = if inside.is_empty() { speeds.to_vec() } else { inside };
    spread(from.len(), PULLING.2).into_iter().map(|i| from[i]).collect()
}

fn write(sink: &Sink, result: &CompareResult) -> Result<Vec<PathBuf>, Failure> {
    let mut written = vec![sink.write("compare.json", compare_json(result)?.as_bytes())?];
    written.push(sink.write("as_given.png", &carburettors(&result.as_given, "Each with its own jets")?)?);
    if let Some(same) = &result.same_mixture {
        let what = "Each with main jet, clip and pilot jet brought to the same mixture, the middle of the wanted band";
        written.push(sink.write("same_mixture.png", &carburettors(same, what)?)?);
    }
    Ok(written)
}
