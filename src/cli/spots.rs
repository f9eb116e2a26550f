//! Lean and rich spots of a map, and what would cure the largest of them.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use super::clock;
use super::console::say;
use super::counted::counted;
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::study::map::MapResult;
use crate::study::{spot_cure, spots};

/// Finds the spots of `map` and, unless it was interrupted, looks for remedies; whether that came to its end.
pub fn find(
    machine: &Machine,
    map: &mut MapResult,
    settings: &Settings,
    threads: NonZeroUsize,
    stop: &AtomicBool,
) -> bool {
    map.spots = spots::find(map);
    if map.interrupted || map.spots.is_empty() {
        return true;
    }
    let sought = map.spots.len().min(spot_cure::MOST_SPOTS);
    let begun = Instant::now();
    say(format_args!("trying what would cure {}", largest(sought, map.spots.len())));
    match spot_cure::run(machine, map, settings, (threads, stop)) {
        Some(remedies) => {
            for (spot, remedy) in map.spots.iter_mut().zip(remedies) {
                spot.remedy = Some(remedy);
            }
            say(format_args!("tried in {}", clock::exact(begun.elapsed())));
            true
        }
        None => {
            say("stopping; what would cure them is left out");
            false
        }
    }
}

fn largest(sought: usize, all: usize) -> String {
    let spots = counted(sought, "lean or rich spot");
    if sought < all { format!("the largest {spots} of {all}") } else { format!("the {spots}") }
}
