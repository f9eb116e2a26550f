//! `bellmouth cycle`: one operating point over crank angle.

use std::path::PathBuf;

use super::arguments::Cycle;
use super::console::{self, say};
use super::ending::{Ending, Failure};
use super::load::load;
use super::lock::Lock;
use super::map::settings;
use super::{assembled, next_step, out_folder, speeds};
use crate::plot::cycle_traces::cycle_traces_in;
use crate::report::cycle_text::cycle_text_in;
use crate::report::{Sink, cycle_csv, cycle_json};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::cycle::{self, CycleResult};
use crate::study::idle;
use crate::units::{Quantity, Units};

/// Computes the operating point and writes its files.
///
/// # Errors
/// Bad input, or something could not be written.
pub fn run(arguments: &Cycle) -> Result<Ending, Failure> {
    let settings = settings(arguments.cell_size, arguments.courant);
    let units = arguments.units.chosen();
    let setup = load(&arguments.setup, settings.cell_size)?;
    assembled::check(&setup.machine, &settings)?;
    let rpm = arguments.rpm.unwrap_or(setup.machine.engine.idle_rpm);
    let sink = Sink::open(&out_folder::choose(arguments.out.as_deref(), &setup.name))?;
    let _lock = Lock::take(&sink)?;
    say(format_args!("{}: one operating point at {} rpm, into {}", setup.name, rpm, sink.folder().display()));

    if let Some(note) = speeds::far_beyond(&[rpm], setup.machine.engine.highest_rpm) {
        say(note);
    }
    let Some(throttle) = throttle(arguments, rpm, &setup, &settings) else { return Ok(Ending::NotConverged) };
    let cycle = match cycle::run(&setup, rpm, throttle, &settings) {
        Ok(cycle) => cycle,
        Err(error) => {
            say(format_args!("error: {error}"));
            return Ok(Ending::NotConverged);
        }
    };
    let written = write(&sink, &cycle, &units)?;
    console::print(&if arguments.json { cycle_json(&cycle)? } else { cycle_text_in(&cycle, &units) })?;
    next_step::after_cycle(&arguments.setup.path, &written);
    Ok(if cycle.point.converged { Ending::Done } else { Ending::NotConverged })
}

/// The throttle asked for, or the one at which the engine idles; none, with the reason said, when there is none.
fn throttle(arguments: &Cycle, rpm: f64, setup: &Setup, settings: &Settings) -> Option<f64> {
    if let Some(throttle) = arguments.throttle {
        return Some(throttle);
    }
    say("looking for the idle throttle ...");
    match idle::find(&setup.machine, rpm, settings) {
        Ok(throttle) => {
            let c = &setup.machine.carburettor;
            let place = match &c.vacuum {
                Some(v) => {
                    let opened = v.butterfly.angle(throttle) - v.butterfly.closed_angle;
                    format!("with the butterfly {:.1} degrees open", opened.to_degrees())
                }
                None => {
                    let lift = arguments.units.chosen().text(Quantity::Length, Some(throttle * c.slide.bore), 2);
                    format!("at {lift} of slide lift")
                }
            };
            say(format_args!("idles {place} ({:.1} %)", 100.0 * throttle));
            Some(throttle)
        }
        Err(error) => {
            say(format_args!("error: no idle at {} rpm: {error}", rpm));
            None
        }
    }
}

/// Writes the files of one operating point, named for it.
fn write(sink: &Sink, cycle: &CycleResult, units: &Units) -> Result<Vec<PathBuf>, Failure> {
    let name = format!("cycle_{:.0}_rpm_{:.1}_percent", cycle.point.rpm, 100.0 * cycle.point.throttle);
    Ok(vec![
        sink.write(&format!("{name}.csv"), cycle_csv(cycle)?.as_bytes())?,
        sink.write(&format!("{name}.json"), cycle_json(cycle)?.as_bytes())?,
        sink.write(&format!("{name}.png"), &cycle_traces_in(cycle, units)?)?,
    ])
}
