//! The checks of this group; what they share stands here, so that the group's name is part of each test's path.

use std::io::Write as _;
use std::path::Path;

use bellmouth::hardware::machine::Machine;

mod burnt_gas;
mod fuel_air_cycle;
mod inlet_mach;
mod mixture_response;
mod trade_facts;

/// Says what was checked, what it stands on and what came out.
fn found(source: &str, figure: &str) {
    // Not held back by the test harness, unlike what `println!` prints.
    let _ = writeln!(std::io::stdout().lock(), "{source}: {figure}");
}

/// The known single of the trade's checks.
fn single() -> Machine {
    machine("tests/trade/single_650.toml")
}

/// The machine of a set-up file of the repository.
fn machine(file: &str) -> Machine {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    bellmouth::setup::load(&path, None).unwrap_or_else(|report| panic!("{file}\n{report}")).value.machine
}
