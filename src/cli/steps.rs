//! What one step of each part does, beside a map: `map --steps`.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::clock;
use super::console::say;
use super::counted::counted;
use super::progress::SharedProgress;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::rig::settings::Settings;
use crate::study::map::Grid;
use crate::study::one_step;
use crate::study::steps_result::StepsResult;
use crate::study::sweep::cost;

/// Most speeds at which the steps are taken.
const MOST_SPEEDS: usize = 3;

/// The speeds of `grid` if they are few, else the middle one.
fn speeds(grid: &Grid) -> Vec<f64> {
    if grid.speeds.len() <= MOST_SPEEDS { grid.speeds.clone() } else { vec![grid.speeds[grid.speeds.len() / 2]] }
}

/// Takes the steps at the throttles of `map`; none if it was interrupted.
pub fn run(
    machine: &Machine,
    map: &Grid,
    settings: &Settings,
    threads: NonZeroUsize,
    stop: &AtomicBool,
) -> Option<StepsResult> {
    let grid = Grid { throttles: map.throttles.clone(), speeds: speeds(map) };
    let parts: Vec<Part> = Part::in_charge().collect();
    let runs = one_step::runs(&grid, parts.len());
    let at: Vec<String> = grid.speeds.iter().map(ToString::to_string).collect();
    say(format_args!("what one step of each part does at {} rpm: {}", at.join(", "), counted(runs, "run")));
    let whole = runs as f64 / grid.speeds.len() as f64 * grid.speeds.iter().map(|&rpm| cost(rpm)).sum::<f64>();
    let progress = SharedProgress::over(runs, "run", whole);
    let heard = |rpm| progress.advance(rpm);
    let steps = one_step::run(machine, &grid, &parts, &one_step::settings(settings), (threads, stop), &heard);
    let took = progress.finish();
    match &steps {
        Some(_) => say(format_args!("{} in {}", counted(runs, "run"), clock::exact(took))),
        None => say("stopping; what one step does is left out"),
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_taken_at_all_of_few_speeds_or_at_the_middle_one_of_many() {
        let grid = |speeds: &[f64]| Grid { throttles: vec![1.0], speeds: speeds.to_vec() };
        assert_eq!(speeds(&grid(&[2000.0, 3000.0, 4000.0])), [2000.0, 3000.0, 4000.0]);
        assert_eq!(speeds(&grid(&[1000.0, 2000.0, 3000.0, 4000.0])), [3000.0]);
    }
}
