//! Reads the set-up that a command names, and says what looks wrong in it.

use super::arguments::SetupFile;
use super::console::{say, style};
use super::ending::Failure;
use crate::diagnostics::{Warned, render};
use crate::setup::{self, Setup};

/// Reads and checks the set-up.
///
/// # Errors
/// [`Failure::Input`] with every problem of the file.
pub fn read(file: &SetupFile) -> Result<Warned<Setup>, Failure> {
    let read = setup::load(&file.path, file.root.as_deref());
    read.map_err(|report| Failure::Input(render(&report.problems, style())))
}

/// As [`read`]; warnings go to stderr.
///
/// # Errors
/// As [`read`].
pub fn load(file: &SetupFile) -> Result<Setup, Failure> {
    let Warned { value, warnings } = read(file)?;
    if !warnings.is_empty() {
        say(render(&warnings, style()).trim_end());
    }
    Ok(value)
}
