//! `bellmouth check`: what a set-up file gives, what was estimated, and what follows from it.

use super::arguments::Check;
use super::cautions::CAUTIONS;
use super::console;
use super::ending::{Ending, Failure};
use super::fitment_text::fitment_text;
use super::load::load;
use super::next_step;
use crate::report::prose::wrapped;
use crate::setup::{self, Setup};
use crate::study::fitment::Fitment;

/// Version of the layout of the JSON output; additions do not change it.
const SCHEMA: u32 = 1;

/// Prints what the file says; warnings go to stderr.
///
/// # Errors
/// A set-up that is wrong, or stdout that cannot be written.
pub fn run(arguments: &Check) -> Result<Ending, Failure> {
    let setup = load(&arguments.setup)?;
    let fitment = Fitment::of(&setup.machine);
    console::print(&if arguments.json { json(&setup, &fitment) } else { text(&setup, &fitment) })?;
    next_step::after_check(&arguments.setup.path);
    Ok(Ending::Done)
}

fn text(setup: &Setup, fitment: &Fitment) -> String {
    let cautions: String = CAUTIONS.iter().map(|caution| wrapped("  ", "  ", caution)).collect();
    format!("{}\n{}\nCautions\n{cautions}", setup::describe(setup), fitment_text(fitment))
}

fn json(setup: &Setup, fitment: &Fitment) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let value = serde_json::json!({
        "schema": SCHEMA, "version": version, "setup": setup.to_json(), "fitment": fitment, "cautions": CAUTIONS,
    });
    format!("{value:#}\n")
}
