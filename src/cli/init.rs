//! `bellmouth init`: prints a commented set-up file to start from.

use super::arguments::{Init, Template};
use super::console;
use super::ending::{Ending, Failure};
use crate::setup;

/// Prints the set-up of the kind asked for.
///
/// # Errors
/// [`Failure::Write`] from stdout.
pub fn run(arguments: &Init) -> Result<Ending, Failure> {
    let text = match arguments.template {
        Template::Single => setup::template(),
    };
    console::print(text)?;
    Ok(Ending::Done)
}
