//! It does not break, and it loses nothing: kills, signals, full disks, two runs in one folder, mutants of the sample
//! files, random machines. Each stage leaves one line of counts in a file of the target folder, for `.ci/run` to show.
#![allow(missing_docs, clippy::unwrap_used)]

mod again;
#[cfg(unix)]
mod agree;
mod bug;
#[cfg(unix)]
mod disks;
mod finds;
#[cfg(unix)]
mod kills;
mod machines;
mod many_points;
mod mutants;
mod pieces;
#[path = "../command_line/program.rs"]
#[allow(dead_code)] // it has more than these tests need
mod program;
#[cfg(unix)]
mod side_by_side;
#[cfg(unix)]
mod stops;
#[cfg(unix)]
mod undisturbed;

/// Says what a stage found.
fn stage(name: &str, counts: &str) {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::create_dir_all(folder).unwrap();
    std::fs::write(folder.join(format!("stage_{}.txt", name.replace(' ', "_"))), format!("{name}: {counts}\n"))
        .unwrap();
}

/// A small generator of numbers: the multiplier and increment of Knuth's MMIX.
struct Dice(u64);

impl Dice {
    /// From 0 to one less than `sides`.
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % sides as u64).unwrap()
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        self.roll(1_000_001) as f64 * 1e-6
    }
}
