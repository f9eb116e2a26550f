//! The running machine and its circuits: books, periodicity, exact limits, directions, repeatability.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

mod accelerator_pump;
mod air_box;
mod attitude;
mod bad_run;
mod books;
mod circuits;
mod column;
mod compare;
mod conservation;
mod directions;
mod fuels;
mod lift;
mod motored;
mod one_step;
mod part_step;
mod periodic;
mod quasi_static;
mod rejet;
mod road;
mod same_bits;
mod snap;
mod spots;
mod starter;
mod torque;
mod vacuum_piston;
mod warm_start;

use std::path::Path;

use bellmouth::hardware::machine::Machine;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::load;

/// Machines of the repository.
const FILES: [&str; 3] = ["tests/trade/single_650.toml", "scenarios/sidecar_34mm.toml", "scenarios/sidecar_38mm.toml"];

/// The machine of a set-up file.
fn machine(file: &str) -> Machine {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    load(&path, None).unwrap_or_else(|report| panic!("{file}\n{report}")).value.machine
}

/// The known single.
fn single() -> Machine {
    machine(FILES[0])
}

/// Twice the default cell: what is checked here does not hang on the cells.
fn coarse() -> Settings {
    Settings { cell_size: 10e-3, ..Settings::default() }
}

/// The machine at rest at a throttle [lift over bore] and speed [rpm].
fn cold(machine: &Machine, throttle: f64, rpm: f64) -> Rig {
    let point = OperatingPoint { rpm, lift: throttle * machine.carburettor.slide.bore };
    Rig::cold(machine, point, &coarse()).unwrap()
}

/// Says what was checked, what it stands on and what came out.
fn found(source: &str, figure: &str) {
    println!("{source}: {figure}");
}

/// Fails unless `got` is within the share `tolerance` of `want`.
#[track_caller]
fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance * want.abs(), "{what}: got {got}, want {want} within {tolerance}");
}
