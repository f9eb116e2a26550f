//! The gallery: pictures of the gas solver, computed lines over exact points, and the demo's two bores side by side.
//!
//! `cargo run --release --example gallery` writes `plots/gas_*.png` and `plots/two_bores_full_throttle.png`, each whole or not at all, and says for each what
//! it shows. Every number is computed anew by the library's solver and by `bellmouth::exact`; nothing is read but the
//! demo's set-up file.

mod bench;
mod friction_heat;
mod inlet_tuning;
mod nozzle;
mod pulses;
mod resonators;
mod shock_tubes;
mod two_bores;
mod waves;

#[path = "../../tests/gas_dynamics/tuned_pipe.rs"]
#[allow(clippy::unwrap_used)]
mod tuned_pipe;

use std::error::Error;
use std::path::Path;

use bellmouth::plot::comparison::{Comparison, comparison};
use bellmouth::report::sink::Sink;
use bellmouth::report::stdout::to_stdout;

/// Makes a sheet.
type Picture = fn() -> Result<Comparison, Box<dyn Error>>;

/// Files and what makes them.
const PICTURES: [(&str, Picture); 8] = [
    ("gas_shock_tubes.png", shock_tubes::sheet),
    ("gas_waves.png", waves::sheet),
    ("gas_nozzle.png", nozzle::sheet),
    ("gas_friction_heat.png", friction_heat::sheet),
    ("gas_pulses.png", pulses::sheet),
    ("gas_resonators.png", resonators::sheet),
    ("gas_inlet_tuning.png", inlet_tuning::sheet),
    ("two_bores_full_throttle.png", two_bores::sheet),
];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = Sink::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("plots"))?;
    for (name, sheet) in PICTURES {
        let sheet = sheet()?;
        folder.write(name, &comparison(&sheet)?)?;
        to_stdout(&format!("plots/{name}: {}\n", sheet.title))?;
    }
    Ok(())
}
