//! `bellmouth supply`: fuel from tank to bowl, and how long until it runs dry.

use std::path::PathBuf;

use super::arguments::Supply;
use super::console::{self, say};
use super::ending::{Ending, Failure};
use super::lock::Lock;
use super::progress::SharedProgress;
use super::{assembled, clock, interrupt, load, map, out_folder};
use crate::plot::{supply_bowl, supply_demand};
use crate::report::{Sink, supply_csv, supply_json, supply_text};
use crate::setup::Setup;
use crate::study::supply::{self, Hold, SupplyError, SupplyResult};
use crate::study::sweep::cost;
use crate::units::road::SpeedUnit;

/// Computes the supply and writes its files.
///
/// # Errors
/// Bad input, or something could not be written.
pub fn run(arguments: &Supply) -> Result<Ending, Failure> {
    let settings = map::settings(arguments.work.cell_size, None);
    let setup = load::load(&arguments.setup, settings.cell_size)?;
    let Some(line) = setup.supply.clone() else {
        let help = "help: write a heading [supply] into it; what stands below it may be left out and is then estimated";
        return Err(Failure::Input(format!("error: the set-up has no fuel supply\n{help}")));
    };
    assembled::check(&setup.machine, &settings)?;
    let hold = hold(arguments, &setup)?;
    let ease = arguments.ease.as_ref().map(|s| s.speed);
    let threads = map::threads(arguments.work.threads);
    let sink = Sink::open(&out_folder::choose(arguments.out.as_deref(), &setup.name))?;
    let _lock = Lock::take(&sink)?;
    let stop = interrupt::listen();
    let points = supply::points(&setup) + supply::runs();
    let whole = points as f64 * cost(0.6 * setup.machine.engine.highest_rpm);
    say(format_args!("{}: fuel supply, {points} operating points, into {}", setup.name, sink.folder().display()));
    let progress = SharedProgress::over(points, "point", whole);
    let heard = |rpm| progress.advance(rpm);
    let with = (threads, &*stop);
    let found = supply::gather(&setup, (hold, ease), &settings, with, &heard)
        .and_then(|asked| supply::run(&setup, &line, (asked, unit(arguments)), &settings, with, &heard));
    let took = progress.finish();
    let result = match found {
        Ok(result) => result,
        Err(SupplyError::Stopped) => {
            say("stopped; nothing is written");
            return Ok(Ending::Interrupted);
        }
        Err(SupplyError::Unreachable { speed, top }) => {
            let (speed, top) = (unit(arguments).both(speed), unit(arguments).both(top));
            let help = "help: ask for less; a smaller `drag_area` or another gearing under [road] would raise it";
            let text = format!(
                "error: the engine does not reach {speed}; at full throttle its highest is about {top}\n{help}"
            );
            return Err(Failure::Input(text));
        }
        Err(error @ (SupplyError::NoVehicle | SupplyError::Road(_))) => {
            return Err(Failure::Input(format!("error: {error}")));
        }
        Err(error) => {
            say(format_args!("error: {error}"));
            return Ok(Ending::NotConverged);
        }
    };
    say(format_args!("{points} points in {}", clock::exact(took)));
    let written = write(&sink, &result)?;
    console::print(&if arguments.work.json { supply_json(&result)? } else { supply_text(&result) })?;
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    let sound = result.held.levels.iter().all(|l| l.converged || !l.fired) && result.asked.held.sound;
    Ok(if sound { Ending::Done } else { Ending::NotConverged })
}

/// The unit in which road speeds are said first: the one that was written.
fn unit(arguments: &Supply) -> SpeedUnit {
    arguments.speed.or(arguments.ease).map_or(SpeedUnit::default(), |s| s.unit)
}

fn hold(arguments: &Supply, setup: &Setup) -> Result<Hold, Failure> {
    let refuse = |text: String| Err(Failure::Input(format!("error: {text}")));
    if let Some(speed) = &arguments.speed {
        return Ok(Hold::Speed(speed.speed));
    }
    let Some(rpm) = arguments.rpm else { return Ok(Hold::Usual) };
    let (idle, highest) = (setup.machine.engine.idle_rpm, setup.machine.engine.highest_rpm);
    if !(idle..=highest * (1.0 + 1e-9)).contains(&rpm) {
        return refuse(format!(
            "the engine does not run at {rpm:.0} rpm; the set-up's speeds are {idle:.0} (idle) to {highest:.0} rpm (highest)"
        ));
    }
    Ok(Hold::Point { rpm, throttle: arguments.throttle.unwrap_or(1.0) })
}

fn write(sink: &Sink, result: &SupplyResult) -> Result<Vec<PathBuf>, Failure> {
    Ok(vec![
        sink.write("supply.json", supply_json(result)?.as_bytes())?,
        sink.write("supply.csv", supply_csv(result)?.as_bytes())?,
        sink.write("supply_demand.png", &supply_demand(result)?)?,
        sink.write("supply_bowl.png", &supply_bowl(result)?)?,
    ])
}
