//! The checks of this group; what they share stands here, so that the group's name is part of each test's path.

use std::io::Write as _;

mod atmosphere;
mod attitude;
mod burning;
mod carburettor;
mod column;
mod crank;
mod emulsion;
mod exact;
mod fuel;
mod gas;
mod jet;
mod liquids;
mod loss;
mod needle;
mod nozzle;
mod numeric;
mod parts;
mod power_correction;
mod road;
mod snap_film;
mod steps;
mod supply;
mod supply_bowl;

/// Says what the check stands on.
fn source(text: &str) {
    // Not held back by the test harness, unlike what `println!` prints.
    let _ = writeln!(std::io::stdout().lock(), "source: {text}");
}

/// Fails unless `got` is within `tolerance` (absolute) of `want`.
#[track_caller]
fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "got {got}, want {want} within {tolerance}");
}

/// Fails unless `got` is within the share `tolerance` of `want`.
#[track_caller]
fn close(got: f64, want: f64, tolerance: f64) {
    approx::assert_relative_eq!(got, want, epsilon = 0.0, max_relative = tolerance);
}

/// Area [m2] of a circle.
fn circle(diameter: f64) -> f64 {
    0.25 * std::f64::consts::PI * diameter * diameter
}
