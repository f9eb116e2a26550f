//! `bellmouth check`: what a set-up file gives, what was estimated, and what follows from it.

use super::arguments::Check;
use super::check_text::check_text;
use super::console;
use super::ending::{Ending, Failure};
use super::{assembled, load, next_step};
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::setup::describe::{Description, describe};
use crate::study::pump_bench::{self, PumpSheet};

/// Version of the layout of the JSON output; additions do not change it.
const SCHEMA: u32 = 1;

/// Prints what the file says, with its warnings.
///
/// # Errors
/// A set-up that is wrong, or stdout that cannot be written.
pub fn run(arguments: &Check) -> Result<Ending, Failure> {
    let settings = Settings::default();
    let read = load::read(&arguments.setup, settings.cell_size)?;
    assembled::check(&read.value.machine, &settings)?;
    let description = describe(&read.value, &read.warnings);
    let pump = pump_bench::sheet(&read.value.machine);
    let text = if arguments.json {
        json(&read.value, &description, pump.as_ref())
    } else {
        check_text(&description, pump.as_ref(), &arguments.units.chosen())
    };
    console::print(&text)?;
    next_step::after_check(&arguments.setup.path);
    Ok(Ending::Done)
}

fn json(setup: &Setup, description: &Description, pump: Option<&PumpSheet>) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let setup = setup.to_json();
    let mut value =
        serde_json::json!({ "schema": SCHEMA, "version": version, "description": description, "setup": setup });
    if let Some(pump) = pump {
        value["pump"] = serde_json::json!(pump);
    }
    format!("{value:#}\n")
}
