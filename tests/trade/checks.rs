//! The checks of this group; what they share stands here, so that the group's name is part of each test's path.

use std::io::Write as _;

mod bands;
mod demo;
mod known;
mod road;
mod starter;
mod starting_point;
mod steps;
mod supply;
mod vacuum_piston;
mod whole_machine;

/// Says what the check stands on.
fn source(text: &str) {
    // Not held back by the test harness, unlike what `println!` prints.
    let _ = writeln!(std::io::stdout().lock(), "source: {text}");
}
