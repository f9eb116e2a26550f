//! The files of a map.

use std::path::PathBuf;

use super::ending::Failure;
use crate::plot::{MAP_FIGURES, PlotError, bypass_holes, hand_over, road_line, who_is_in_charge};
use crate::report::{Sink, map_csv, map_json, steps_csv};
use crate::study::map::MapResult;
use crate::study::steps_result::StepsResult;
use crate::units::Units;

/// The files of a map that was interrupted: numbers only, so that leaving is quick, under names of their own, so that a
/// whole map of an earlier run stays.
const PARTIAL: [&str; 2] = ["map.partial.csv", "map.partial.json"];

/// Writes numbers first, then pictures.
///
/// # Errors
/// [`Failure::Write`] that names the file and the cause.
pub fn write(sink: &Sink, map: &MapResult, units: &Units) -> Result<Vec<PathBuf>, Failure> {
    let names = if map.interrupted { PARTIAL } else { ["map.csv", "map.json"] };
    let mut written =
        vec![sink.write(names[0], map_csv(map)?.as_bytes())?, sink.write(names[1], map_json(map)?.as_bytes())?];
    if map.interrupted {
        return Ok(written);
    }
    for (name, figure) in MAP_FIGURES {
        written.push(sink.write(name, &figure(map, units)?)?);
    }
    if let Some(road) = &map.road {
        written.push(sink.write("road_line.png", &road_line(map, road)?)?);
    }
    if let Some(steps) = &map.steps {
        written.extend(write_steps(sink, &map.name, steps)?);
    }
    for name in PARTIAL {
        sink.remove(name)?;
    }
    Ok(written)
}

/// A picture of the steps at one speed.
type StepsFigure = fn(&str, &StepsResult, f64) -> Result<Vec<u8>, PlotError>;

/// The files of what one step does; with several speeds the pictures are named for theirs.
fn write_steps(sink: &Sink, name: &str, steps: &StepsResult) -> Result<Vec<PathBuf>, Failure> {
    let mut written = vec![
        sink.write("steps.csv", steps_csv(steps)?.as_bytes())?,
        sink.write("hand_over.png", &hand_over(name, &steps.hand_over)?)?,
    ];
    let figures: [(&str, StepsFigure); 2] = [("who_is_in_charge", who_is_in_charge), ("bypass_holes", bypass_holes)];
    for rpm in &steps.grid.speeds {
        let speed = if steps.grid.speeds.len() > 1 { format!("_{rpm}_rpm") } else { String::new() };
        for (file, figure) in figures {
            written.push(sink.write(&format!("{file}{speed}.png"), &figure(name, steps, *rpm)?)?);
        }
    }
    Ok(written)
}
