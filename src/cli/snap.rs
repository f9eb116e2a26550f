//! `bellmouth snap`: the throttle snapped open.

use std::path::PathBuf;

use super::arguments::Snap;
use super::console::{self, say, style};
use super::ending::{Ending, Failure};
use super::load::load;
use super::lock::Lock;
use super::progress::SharedProgress;
use super::{assembled, clock, interrupt, map, next_step, out_folder};
use crate::diagnostics::{Problem, Warned, render};
use crate::plot::{snap_cycles, snap_fuel};
use crate::report::{Sink, snap_csv, snap_json, snap_text};
use crate::setup::{Instead, Setup};
use crate::study::snap::result::SnapResult;
use crate::study::snap::trial::{Bench, runs};
use crate::study::snap::tune::Free;

/// Opens the throttle and writes the files.
///
/// # Errors
/// Bad input, or something could not be written.
pub fn run(arguments: &Snap) -> Result<Ending, Failure> {
    let settings = map::settings(arguments.work.cell_size, None);
    let own = load(&arguments.setup, settings.cell_size)?;
    let setup = asked(&own, arguments)?;
    let Some(plan) = setup.snap else { return Err(Failure::Input("error: there is no snap to run".to_owned())) };
    assembled::check(&setup.machine, &settings)?;
    let free = free(arguments, &setup)?;
    let threads = map::threads(arguments.work.threads);
    let sink = Sink::open(&out_folder::choose(arguments.out.as_deref(), &setup.name))?;
    let _lock = Lock::take(&sink)?;
    let pump = setup.machine.carburettor.pump.is_some();
    let count = runs(pump, !free.is_empty());
    say(format_args!("{}: {count} runs, into {}", setup.name, sink.folder().display()));
    let progress = SharedProgress::over(count, "run", count as f64 * crate::study::sweep::cost(plan.rpm));
    let heard = || progress.advance(plan.rpm);
    let stop = interrupt::listen();
    let bench = Bench { setup: &setup, plan, settings: &settings, threads, stop: &stop, heard: &heard };
    let result = bench.trial(&free);
    let took = progress.finish();
    let result = match result {
        Ok(Some(result)) => result,
        Ok(None) => {
            say("stopped; nothing is written");
            return Ok(Ending::Interrupted);
        }
        Err(error) => {
            say(format_args!("error: {error}"));
            return Ok(Ending::NotConverged);
        }
    };
    say(format_args!("done in {}", clock::exact(took)));
    let written = write(&sink, &result)?;
    console::print(&if arguments.work.json { snap_json(&result)? } else { snap_text(&result) })?;
    next_step::after_snap(&arguments.setup.path, &written);
    let sound = result.before.converged && result.without.note.is_none();
    Ok(if sound { Ending::Done } else { Ending::NotConverged })
}

/// The set-up with the values of the command line in place of those under `[snap]`.
fn asked(own: &Setup, arguments: &Snap) -> Result<Setup, Failure> {
    let with_unit = |text: &String, unit: &str| {
        let bare = text.trim().parse::<f64>().is_ok();
        if bare { format!("{} {unit}", text.trim()) } else { text.clone() }
    };
    let given = [
        ("rpm", arguments.rpm.as_ref().map(|t| with_unit(t, "rpm"))),
        ("from", arguments.from.clone()),
        ("to", arguments.to.clone()),
        ("time", arguments.time.clone()),
        ("run", arguments.run.clone()),
        ("inertia", arguments.inertia.clone()),
        ("gear", arguments.gear.clone()),
    ];
    let snap = given.into_iter().filter_map(|(key, value)| Some((key, value?))).collect();
    let instead = Instead { snap: Some(snap), ..Instead::default() };
    let Warned { value, warnings } =
        own.instead(&instead).map_err(|report| Failure::Input(render(&report.problems, style())))?;
    // What the file itself makes one warn of was said when it was loaded.
    let new: Vec<Problem> =
        warnings.into_iter().filter(|p| p.place.as_ref().is_some_and(|p| p.source.name == "command line")).collect();
    if !new.is_empty() {
        say(render(&new, style()).trim_end());
    }
    Ok(value)
}

/// The parts of the pump to look for; none where the pump stays as it is.
fn free(arguments: &Snap, setup: &Setup) -> Result<Vec<Free>, Failure> {
    let pump = setup.machine.carburettor.pump.is_some();
    match &arguments.free {
        Some(_) if !pump => {
            let problem = Problem::error("there is no accelerator pump whose parts could be looked for")
                .help("describe it under [carburettor.pump], or leave out `--free` to see what fuel is missing");
            Err(Failure::Input(render(&[problem], style())))
        }
        Some(free) => Ok(free.0.clone()),
        None if arguments.as_given || !pump => Ok(Vec::new()),
        None => Ok(Free::ALL.to_vec()),
    }
}

fn write(sink: &Sink, result: &SnapResult) -> Result<Vec<PathBuf>, Failure> {
    Ok(vec![
        sink.write("snap.csv", snap_csv(result)?.as_bytes())?,
        sink.write("snap.json", snap_json(result)?.as_bytes())?,
        sink.write("snap_cycles.png", &snap_cycles(result)?)?,
        sink.write("snap_fuel.png", &snap_fuel(result)?)?,
    ])
}
