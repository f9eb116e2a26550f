//! Sod's shock tube on the duct solver, time and error: `cargo bench --bench sod`. The other side of `benches/peers`.
//!
//! Three conserved quantities, straight tube, no walls, constant gamma, Courant number 0.9 after five gentle steps at 0.2. Time of the
//! processor: all of a run from the burst to t = 0.2, choice of the step and ends included, over steps and cells; median and fastest of the
//! rounds. Error: mean absolute difference of density to the cell means of the exact solution.
//!
//! One line for each number of cells, words and numbers in turn, so that a script can read it.
#![allow(clippy::print_stdout)]

mod shared;

use std::hint::black_box;

use bellmouth::exact::riemann::Riemann;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;
use shared::{computer, timing};

const GAMMA: f64 = 1.4;
/// Density, velocity and pressure left and right. Source: Sod, J. Comput. Phys. 27 (1978) 1 (from memory).
const LEFT: (f64, f64, f64) = (1.0, 0.0, 1.0);
const RIGHT: (f64, f64, f64) = (0.125, 0.0, 0.1);
/// Place of the membrane and time of comparison.
const MEMBRANE: f64 = 0.5;
const END: f64 = 0.2;
const COURANT: f64 = 0.9;
const CELLS: [usize; 2] = [200, 400];
const ROUNDS: usize = 61;
/// Points of a cell in its exact mean.
const PARTS: u32 = 40;

/// The tube before it bursts: gas alone, three fields.
fn tube(cells: usize) -> LoneDuct {
    let gas = GasModel::constant(1.0, GAMMA);
    let mut duct = DuctCells::of_profile(1.0, cells, |_| 1.0, &gas, 1.0, 1.0).gas_alone();
    duct.fill(&gas, |x| {
        let (rho, u, p) = if x < MEMBRANE { LEFT } else { RIGHT };
        (rho, u, p, Composition::default())
    });
    // No wave reaches an end before the time of comparison.
    let given = |(rho, u, p)| End::Given(rho, u, p);
    let mut tube = LoneDuct::new(gas, duct, [given(LEFT), given(RIGHT)]);
    tube.courant = COURANT;
    tube
}

/// Mean absolute difference of density to the exact cell means.
fn error(duct: &DuctCells) -> f64 {
    let exact = Riemann::new(LEFT.into(), RIGHT.into(), GAMMA).expect("Sod's gases leave no vacuum");
    let dx = duct.cell_length(0);
    let difference = |i: usize| {
        let x = |k: u32| (i as f64 + (f64::from(k) + 0.5) / f64::from(PARTS)) * dx;
        let mean = (0..PARTS).map(|k| exact.at((x(k) - MEMBRANE) / END).rho).sum::<f64>() / f64::from(PARTS);
        (duct.cell(i).0 - mean).abs()
    };
    (0..duct.cells()).map(difference).sum::<f64>() * dx
}

fn main() {
    println!("computer {}", computer::line());
    for cells in CELLS {
        let before = tube(cells);
        let mut after = before.clone();
        let run = |tube: &mut LoneDuct| assert!(tube.run_to(END).is_ok(), "Sod's tube stays sound");
        run(&mut after);
        let updates = after.steps as f64 * cells as f64;
        let times = timing::rounds(ROUNDS, || {
            after = before.clone();
            run(black_box(&mut after));
        });
        let [median, fastest] = [timing::middle(&times), times[0]].map(|time| 1e9 * time / updates);
        println!(
            "cells {cells} steps {} median_ns {median:.2} fastest_ns {fastest:.2} l1_density {:.4e}",
            after.steps,
            error(&after.cells)
        );
    }
}
