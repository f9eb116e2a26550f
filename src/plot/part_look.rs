//! Colours and line styles of the parts: one colour for a group, one style for each part in it.

use super::colour::{self, Colour};
use super::curve::{Look, Mark};
use crate::hardware::part::{Group, Part};

/// Colour of a group of parts; pilot and needle jet as in the pictures of the circuits.
#[must_use]
pub fn group_colour(group: Group) -> Colour {
    match group {
        Group::Pilot => colour::CIRCUITS[0],
        Group::Cutaway => colour::curve(4, 6),
        Group::Ring => colour::CIRCUITS[1],
        Group::Height => colour::curve(4, 5),
        Group::Main => colour::curve(2, 5),
        Group::Level => colour::curve(5, 10),
    }
}

/// Look of a part's curve.
#[must_use]
pub fn part_look(part: Part) -> Look {
    const DASHES: [&[f64]; 3] = [&[], &[14.0, 8.0], &[3.0, 8.0]];
    const MARKS: [Mark; 3] = [Mark::Disc, Mark::Square, Mark::Up];
    let group = part.group();
    let place = Part::all().into_iter().filter(|p| p.group() == group).position(|p| p == part).unwrap_or(0);
    Look { colour: group_colour(group), dashes: DASHES[place % 3], mark: MARKS[place % 3] }
}
