//! The files of a map.

use std::path::PathBuf;

use super::console::say;
use super::ending::Failure;
use crate::plot::MAP_FIGURES;
use crate::report::{Sink, map_csv, map_json};
use crate::study::map::MapResult;

/// Writes numbers first, then pictures; an interrupted map gets its numbers only, so that leaving is quick.
///
/// # Errors
/// [`Failure::Write`] that names the file and the cause.
pub fn write(sink: &Sink, map: &MapResult) -> Result<Vec<PathBuf>, Failure> {
    let mut written =
        vec![sink.write("map.csv", map_csv(map)?.as_bytes())?, sink.write("map.json", map_json(map)?.as_bytes())?];
    if map.interrupted {
        if MAP_FIGURES.iter().any(|(name, _)| sink.folder().join(name).exists()) {
            say(format_args!("note: the pictures in {} are of an earlier map", sink.folder().display()));
        }
        return Ok(written);
    }
    for (name, figure) in MAP_FIGURES {
        written.push(sink.write(name, &figure(map)?)?);
    }
    Ok(written)
}
