//! A duct between a reservoir and a static pressure, run until nothing changes any more.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::trace::Vessel;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

/// Ratio of specific heats and gas constant [J/(kg K)] of all steady checks.
pub const GAMMA: f64 = 1.4;
pub const R: f64 = 287.05;
/// Stagnation pressure [Pa] and temperature [K] upstream.
pub const P0: f64 = 1e5;
pub const T0: f64 = 300.0;

/// Largest difference of the mass flow through two faces, relative, at which the flow counts as steady.
const STEADY: f64 = 1e-10;
/// Steps between two looks at it, and the most steps.
const LOOK: u64 = 500;
const MOST: u64 = 200_000;

/// The gas.
pub fn gas() -> GasModel {
    GasModel::constant(R, GAMMA)
}

/// The duct once its mass flow is the same through every face, between `P0`, `T0` upstream and `back` [Pa] downstream.
pub struct Steady {
    pub duct: DuctCells,
    /// Largest difference of the mass flow through two faces, relative.
    pub spread: f64,
    pub steps: u64,
}

impl Steady {
    pub fn run(duct: DuctCells, back: f64) -> Self {
        let gas = gas();
        let still = |p: f64| Vessel::new(&gas, p, T0, Composition::default());
        let mut lone = LoneDuct::new(gas, duct, [End::Open(still(P0), 0.0), End::Open(still(back), 0.0)]);
        loop {
            for _ in 0..LOOK {
                lone.step(lone.stable_step()).unwrap();
            }
            let spread = spread(&lone.cells);
            if spread < STEADY || lone.steps >= MOST {
                return Self { duct: lone.cells, spread, steps: lone.steps };
            }
        }
    }

    pub fn cells(&self) -> usize {
        self.duct.cells()
    }

    pub fn pressure(&self, i: usize) -> f64 {
        self.duct.cell(i).2
    }

    pub fn temperature(&self, i: usize) -> f64 {
        let (rho, _, p) = self.duct.cell(i);
        p / (rho * R)
    }

    pub fn mach(&self, i: usize) -> f64 {
        let (rho, u, p) = self.duct.cell(i);
        u / (GAMMA * p / rho).sqrt()
    }

    pub fn stagnation_temperature(&self, i: usize) -> f64 {
        let m = self.mach(i);
        self.temperature(i) * (1.0 + 0.5 * (GAMMA - 1.0) * m * m)
    }

    pub fn stagnation_pressure(&self, i: usize) -> f64 {
        let m = self.mach(i);
        self.pressure(i) * libm::pow(1.0 + 0.5 * (GAMMA - 1.0) * m * m, GAMMA / (GAMMA - 1.0))
    }

    /// A figure of the cells at the face before cell `k`, from the cubic through the means of four.
    pub fn at_face(&self, k: usize, figure: fn(&Self, usize) -> f64) -> f64 {
        let f = |i| figure(self, i);
        (7.0 * (f(k - 1) + f(k)) - f(k - 2) - f(k + 1)) / 12.0
    }

    /// A figure of the cells at the near (`false`) or far end, from the parabola through the means of three.
    pub fn at_end(&self, far: bool, figure: fn(&Self, usize) -> f64) -> f64 {
        let f = |i| figure(self, if far { self.cells() - 1 - i } else { i });
        (11.0 * f(0) - 7.0 * f(1) + 2.0 * f(2)) / 6.0
    }
}

fn spread(duct: &DuctCells) -> f64 {
    let flows = (0..=duct.cells()).map(|k| duct.mass_flow(k));
    let (least, most) = flows.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), f| (a.min(f), b.max(f)));
    (most - least) / most.abs().max(least.abs())
}

/// Darcy factor of a smooth pipe of diameter `d` [m] at a mass flux of `flux` [kg/(m2 s)] and `t` [K]: laminar, or by
/// Blasius up to a Reynolds number of 1e5. Source: White, *Fluid Mechanics* (from memory). The viscosity of air is the
/// line that the solver states, within 3 % of the tables.
pub fn darcy(flux: f64, d: f64, t: f64) -> f64 {
    let re = flux * d / (1.72e-5 + 4.3e-8 * (t - 273.15));
    assert!(re < 1e5, "beyond the law of Blasius: {re}");
    (64.0 / re).max(0.316 / libm::pow(re, 0.25))
}
