//! Reads the set-up that a command names, and says what looks wrong in it.

use super::arguments::SetupFile;
use super::console::{say, style};
use super::ending::Failure;
use crate::diagnostics::render;
use crate::setup::{self, Setup};

/// Reads and checks the set-up; warnings go to stderr.
///
/// # Errors
/// [`Failure::Input`] with every problem of the file.
pub fn load(file: &SetupFile) -> Result<Setup, Failure> {
    let read = setup::load(&file.path, file.root.as_deref());
    let warned = read.map_err(|report| Failure::Input(render(&report.problems, style())))?;
    if !warned.warnings.is_empty() {
        say(render(&warned.warnings, style()).trim_end());
    }
    Ok(warned.value)
}
