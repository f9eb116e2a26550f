//! Reads the set-up that a command names, and says what looks wrong in it.

use std::io::ErrorKind;
use std::path::Path;

use super::arguments::SetupFile;
use super::console::{say, style};
use super::ending::Failure;
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Warned, render};
use crate::setup::{self, Setup};

/// Reads and checks the set-up for cells of `cell_size` [m].
///
/// # Errors
/// [`Failure::Input`] with every problem of the file.
pub fn read(file: &SetupFile, cell_size: f64) -> Result<Warned<Setup>, Failure> {
    if let Some(root) = &file.root {
        check_root(root)?;
    }
    let read = setup::load_for_cells(&file.path, file.root.as_deref(), cell_size);
    read.map_err(|report| Failure::Input(render(&report.problems, style())))
}

/// Refuses a root that is no folder, whether or not the set-up names a file inside it.
fn check_root(root: &Path) -> Result<(), Failure> {
    let why = match root.metadata() {
        Ok(found) if found.is_dir() => return Ok(()),
        Ok(_) => "it is not a folder".to_owned(),
        Err(error) if error.kind() == ErrorKind::NotFound => "there is no such folder".to_owned(),
        Err(error) => error.to_string(),
    };
    let name = clean_line(&root.to_string_lossy(), 200);
    Err(Failure::Input(format!("error: `--root {name}` cannot be used: {why}")))
}

/// As [`read`]; warnings go to stderr.
///
/// # Errors
/// As [`read`].
pub fn load(file: &SetupFile, cell_size: f64) -> Result<Setup, Failure> {
    let Warned { value, warnings } = read(file, cell_size)?;
    if !warnings.is_empty() {
        say(render(&warnings, style()).trim_end());
    }
    Ok(value)
}
