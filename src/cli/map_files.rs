//! The files of a map.

use std::path::PathBuf;

use super::console::say;
use super::ending::Failure;
use crate::plot::{PlotError, afr_against_speed, afr_against_throttle, afr_heat_map, full_throttle};
use crate::report::{Sink, map_csv, map_json};
use crate::study::map::MapResult;

/// A figure of a map.
type Figure = fn(&MapResult) -> Result<Vec<u8>, PlotError>;

/// Pictures, the most useful first.
const PICTURES: [(&str, Figure); 4] = [
    ("afr_heat_map.png", afr_heat_map),
    ("afr_against_throttle.png", afr_against_throttle),
    ("afr_against_speed.png", afr_against_speed),
    ("full_throttle.png", full_throttle),
];

/// Writes numbers first, then pictures; an interrupted map gets its numbers only, so that leaving is quick.
///
/// # Errors
/// [`Failure::Write`] that names the file and the cause.
pub fn write(sink: &Sink, map: &MapResult) -> Result<Vec<PathBuf>, Failure> {
    let mut written =
        vec![sink.write("map.csv", map_csv(map)?.as_bytes())?, sink.write("map.json", map_json(map)?.as_bytes())?];
    if map.interrupted {
        if PICTURES.iter().any(|(name, _)| sink.folder().join(name).exists()) {
            say(format_args!("note: the pictures in {} are of an earlier map", sink.folder().display()));
        }
        return Ok(written);
    }
    for (name, figure) in PICTURES {
        written.push(sink.write(name, &figure(map)?)?);
    }
    Ok(written)
}
