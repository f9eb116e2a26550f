//! A fixed number of cycles of one operating point, for `benches/instructions.sh` to count the instructions of: the demo with its 38 mm
//! carburettor, from rest, full throttle, 4000 rpm. Prints what it did, words and numbers in turn.
//!
//! `cargo bench --bench instructions -- --cycles 4`
#![allow(clippy::print_stdout)]

mod shared;

use shared::{demo, timing};

/// Cycles unless another number is asked for.
const CYCLES: u32 = 4;
const RPM: f64 = 4000.0;

/// The number behind `--cycles`.
fn asked() -> Option<u32> {
    std::env::args().skip_while(|a| a != "--cycles").nth(1)?.parse().ok()
}

fn main() {
    let cycles = if timing::quick() { 1 } else { asked().unwrap_or(CYCLES) };
    let mut rig = demo::cold(&demo::machine(), 1.0, RPM);
    let mut steps = 0;
    for _ in 0..cycles {
        steps += rig.run_cycle(false).unwrap_or_else(|error| panic!("{error}")).steps;
    }
    println!("cycles {cycles} steps {steps} cell_updates {}", steps * demo::cells(&rig) as u64);
}
