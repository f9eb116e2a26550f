//! The checks of this group; what they share stands here, so that the group's name is part of each test's path.

use std::io::Write as _;

mod bad_input;
mod bench;
mod blow_down;
mod contact;
mod ends;
mod energy;
mod face;
mod face_sweep;
mod fanno;
mod grid_study;
mod inlet_tuning;
mod nozzle;
mod order;
mod pulses;
mod rayleigh;
mod resonators;
mod rest;
mod ringing;
mod shock_tubes;
mod side_by_side;
mod steady;
mod step_loss;
mod tuned_pipe;
mod tuning;

/// Says what was checked, what it stands on and what came out.
fn found(source: &str, figure: &str) {
    // Not held back by the test harness, unlike what `println!` prints.
    let _ = writeln!(std::io::stdout().lock(), "{source}: {figure}");
}

/// Fails unless `got` is within the share `tolerance` of `want`.
#[track_caller]
fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance * want.abs(), "{what}: got {got}, want {want} within {tolerance}");
}
