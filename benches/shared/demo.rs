//! The machine that the benches run: the demo with its 38 mm carburettor.

use std::path::Path;

use bellmouth::hardware::machine::Machine;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::Setup;

/// The demo's set-up.
pub fn setup() -> Setup {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    bellmouth::setup::load(&file, None).unwrap_or_else(|report| panic!("{report}")).value
}

/// The demo's machine.
pub fn machine() -> Machine {
    setup().machine
}

/// `machine` at rest at `throttle` [lift over bore] and `rpm`, on the default cells.
pub fn cold(machine: &Machine, throttle: f64, rpm: f64) -> Rig {
    cold_on(machine, throttle, rpm, &Settings::default())
}

fn cold_on(machine: &Machine, throttle: f64, rpm: f64, settings: &Settings) -> Rig {
    let point = OperatingPoint { rpm, lift: throttle * machine.carburettor.slide.bore };
    Rig::cold(machine, point, settings).unwrap_or_else(|error| panic!("{error}"))
}

/// The same, run until its cycle repeats.
pub fn running(machine: &Machine, throttle: f64, rpm: f64) -> Rig {
    running_on(machine, throttle, rpm, &Settings::default())
}

/// The same with other `settings`.
pub fn running_on(machine: &Machine, throttle: f64, rpm: f64, settings: &Settings) -> Rig {
    let mut rig = cold_on(machine, throttle, rpm, settings);
    rig.converge().unwrap_or_else(|error| panic!("{error}"));
    rig
}

/// Cells of all its ducts.
pub fn cells(rig: &Rig) -> usize {
    rig.ducts().map(|duct| duct.cells()).sum()
}
