//! One duct cut into equal cells, and its step in time.
//!
//! MUSCL-Hancock: limited slopes of the primitive variables (monotonised central; at the two end cells the
//! one-sided minmod), half a step with the primitive equations, HLLC flux between the half-time face
//! states, conservative update. Second order in space and time where smooth. Stable for a Courant number up to 1.
//!
//! Gas at rest: with one pressure everywhere the momentum fluxes `p A` on both faces and the wall's push
//! `p_i (A_r - A_l)` cancel to round-off.
//!
//! Source: van Leer, SIAM J. Sci. Stat. Comput. 5 (1984) 1; Toro 2009, section 14.4 (from memory).

use super::arrays::{Conserved, Geometry, Primitives};
use super::exchange::{EndFlux, Exchange};
use super::kernel;
use super::trace::Trace;
use crate::hardware::duct::{Duct, Piece};
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Fewest cells in a duct.
pub const FEWEST_CELLS: usize = 4;

/// A cell that left physical bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unphysical {
    /// Distance from the start of the duct [m].
    pub x: f64,
    /// Density there [kg/m3].
    pub rho: f64,
    /// Pressure there [Pa].
    pub p: f64,
}

/// A duct in cells.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctCells {
    n: usize,
    dx: f64,
    friction: bool,
    shape: Geometry,
    now: Primitives,
    gamma: Vec<f64>,
    slope: Primitives,
    low: Primitives,
    high: Primitives,
    flux: Conserved,
    new: Conserved,
    speed: Vec<f64>,
    fastest: f64,
}

impl DuctCells {
    /// Cuts `pieces` into cells of about `cell_size` [m], filled with gas at rest at `p` [Pa], `t` [K].
    #[must_use]
    pub fn new(pieces: &[Piece], cell_size: f64, gas: &GasModel, p: f64, t: f64) -> Self {
        let duct = Duct { pieces: pieces.to_vec() };
        let length = duct.length();
        let n = ((length / cell_size).round() as usize).max(FEWEST_CELLS);
        let dx = length / n as f64;
        let face_area: Vec<f64> = (0..=n).map(|i| duct.area((i as f64 * dx).min(length * (1.0 - 1e-12)))).collect();
        let cell_area: Vec<f64> = (0..n)
            .map(|i| {
                // Simpson's rule is exact for the square of a linear diameter.
                (face_area[i] + 4.0 * duct.area((i as f64 + 0.5) * dx) + face_area[i + 1]) / 6.0
            })
            .collect();
        let wall_temperature = (0..n).map(|i| duct.wall_temperature((i as f64 + 0.5) * dx)).collect();
        let rho = p / (gas.r(0.0, 0.0) * t);
        let gamma = gas.gamma(t, 0.0, 0.0);
        let mut now = Primitives::zeros(n);
        now.rho.fill(rho);
        now.p.fill(p);
        let rise: Vec<f64> = (0..n).map(|i| face_area[i + 1] - face_area[i]).collect();
        let shape = Geometry {
            per_volume: cell_area.iter().map(|a| 1.0 / (a * dx)).collect(),
            spread: rise.iter().zip(&cell_area).map(|(r, a)| r / a).collect(),
            rise,
            face_area,
            cell_area,
            wall_temperature,
        };
        Self {
            n,
            dx,
            friction: true,
            shape,
            now,
            gamma: vec![gamma; n],
            slope: Primitives::zeros(n),
            low: Primitives::zeros(n),
            high: Primitives::zeros(n),
            flux: Conserved::zeros(n + 1),
            new: Conserved::zeros(n),
            speed: vec![0.0; n],
            fastest: (gamma * p / rho).sqrt(),
        }
    }

    /// The same duct with smooth, adiabatic walls.
    #[must_use]
    pub fn without_walls(mut self) -> Self {
        self.friction = false;
        self
    }

    /// Sets every cell from a function of `x` [m] -> (density, velocity, pressure, composition).
    pub fn fill(&mut self, gas: &GasModel, state: impl Fn(f64) -> (f64, f64, f64, Composition)) {
        self.fastest = 0.0;
        for i in 0..self.n {
            let (rho, u, p, y) = state((i as f64 + 0.5) * self.dx);
            self.now.rho[i] = rho;
            self.now.u[i] = u;
            self.now.p[i] = p;
            self.now.burnt[i] = y.burnt;
            self.now.vapour[i] = y.vapour;
            self.now.liquid[i] = y.liquid;
            let t = p / (rho * gas.r(y.burnt, y.vapour));
            self.gamma[i] = gas.gamma(t, y.burnt, y.vapour);
            self.fastest = self.fastest.max(u.abs() + (self.gamma[i] * p / rho).sqrt());
        }
    }

    /// Number of cells [-].
    #[must_use]
    pub fn cells(&self) -> usize {
        self.n
    }

    /// Length of a cell [m].
    #[must_use]
    pub fn cell_length(&self) -> f64 {
        self.dx
    }

    /// Fastest `|u| + c` in the duct [m/s].
    #[must_use]
    pub fn fastest(&self) -> f64 {
        self.fastest
    }

    /// State of cell `i`: density [kg/m3], velocity [m/s], pressure [Pa].
    #[must_use]
    pub fn cell(&self, i: usize) -> (f64, f64, f64) {
        (self.now.rho[i], self.now.u[i], self.now.p[i])
    }

    /// Composition in cell `i`.
    #[must_use]
    pub fn composition(&self, i: usize) -> Composition {
        Composition { burnt: self.now.burnt[i], vapour: self.now.vapour[i], liquid: self.now.liquid[i] }
    }

    /// Area of the end at the start (`false`) or the far end (`true`) [m2].
    #[must_use]
    pub fn end_area(&self, far: bool) -> f64 {
        if far { self.shape.face_area[self.n] } else { self.shape.face_area[0] }
    }

    /// Masses in the duct [kg]: all gas, burnt gas, vapour, liquid.
    #[must_use]
    pub fn store(&self) -> [f64; 4] {
        let mut sum = [0.0; 4];
        for i in 0..self.n {
            let m = self.now.rho[i] * self.shape.cell_area[i] * self.dx;
            sum[0] += m;
            sum[1] += m * self.now.burnt[i];
            sum[2] += m * self.now.vapour[i];
            sum[3] += m * self.now.liquid[i];
        }
        sum
    }

    /// Half-time state at an end, velocity towards that end. Valid after [`Self::predict`].
    #[must_use]
    pub fn trace(&self, far: bool) -> Trace {
        let (side, i, sign) = if far { (&self.high, self.n - 1, 1.0) } else { (&self.low, 0, -1.0) };
        Trace {
            rho: side.rho[i],
            u: sign * side.u[i],
            p: side.p[i],
            gamma: self.gamma[i],
            composition: Composition { burnt: side.burnt[i], vapour: side.vapour[i], liquid: side.liquid[i] },
            area: self.end_area(far),
        }
    }

    /// Face states at half time from limited slopes and the primitive equations.
    pub fn predict(&mut self, dt: f64) {
        let (now, d) = (&self.now, &mut self.slope);
        for (q, d) in [(&now.rho, &mut d.rho), (&now.u, &mut d.u), (&now.p, &mut d.p)] {
            kernel::slopes(q, d);
        }
        for (q, d) in [(&now.burnt, &mut d.burnt), (&now.vapour, &mut d.vapour), (&now.liquid, &mut d.liquid)] {
            kernel::share_slopes(q, d);
        }
        let h = 0.5 * dt / self.dx;
        kernel::half_step(h, &self.shape, &self.gamma, &self.now, &self.slope, &mut self.low, &mut self.high);
    }

    /// One step: inner fluxes, the two ends, what circuits put in and take out at the two end cells, walls.
    ///
    /// # Errors
    /// The first cell whose density or pressure is not positive and finite; the state is then no longer usable.
    pub fn update(
        &mut self,
        gas: &GasModel,
        dt: f64,
        ends: (EndFlux, EndFlux),
        exchange: (Exchange, Exchange),
    ) -> Result<(), Unphysical> {
        kernel::inner_fluxes(&self.shape, &self.gamma, &self.low, &self.high, &mut self.flux);
        self.set_end(0, ends.0);
        self.set_end(self.n, ends.1);
        kernel::conserve(dt, &self.shape, &self.gamma, &self.now, (&self.low, &self.high), &self.flux, &mut self.new);
        self.put(0, &exchange.0);
        self.put(self.n - 1, &exchange.1);
        let wall = if self.friction { 1.0 } else { 0.0 };
        kernel::renew(gas, dt, wall, &self.shape, &self.new, &mut self.now, (&mut self.gamma, &mut self.speed));
        self.check()
    }

    /// Adds what circuits put into cell `i` and takes what they draw from it.
    fn put(&mut self, i: usize, x: &Exchange) {
        let s = self.shape.per_volume[i];
        let (rho, u, p) = (self.now.rho[i], self.now.u[i], self.now.p[i]);
        let xi = 1.0 / (self.gamma[i] - 1.0);
        let new = &mut self.new;
        new.mass[i] += s * (x.gas_in - x.gas_out);
        new.momentum[i] -= s * x.gas_out * u;
        new.energy[i] += s * ((xi + 1.0) * x.gas_in_rt + x.heat);
        new.energy[i] -= s * x.gas_out * ((xi + 1.0) * p / rho + 0.5 * u * u);
        new.burnt[i] += s * (x.burnt_in - x.gas_out * self.now.burnt[i]);
        new.vapour[i] += s * (x.vapour_in - x.gas_out * self.now.vapour[i]);
        new.liquid[i] += s * (x.liquid_in - x.gas_out * self.now.liquid[i]);
    }

    /// Fastest wave, and whether every cell is physical.
    fn check(&mut self) -> Result<(), Unphysical> {
        let mut fastest = 0.0;
        for (i, &s) in self.speed.iter().enumerate() {
            // A negative or missing pressure or density makes the speed not a number.
            if !(s.is_finite() && self.now.rho[i] > 0.0 && self.now.p[i] > 0.0) {
                return Err(Unphysical { x: (i as f64 + 0.5) * self.dx, rho: self.now.rho[i], p: self.now.p[i] });
            }
            fastest = if s > fastest { s } else { fastest };
        }
        self.fastest = fastest;
        Ok(())
    }

    fn set_end(&mut self, k: usize, end: EndFlux) {
        self.flux.mass[k] = end.mass;
        self.flux.momentum[k] = end.momentum;
        self.flux.energy[k] = end.energy_rest;
        self.flux.energy_per_xi[k] = end.energy_per_xi;
        self.flux.burnt[k] = end.burnt;
        self.flux.vapour[k] = end.vapour;
        self.flux.liquid[k] = end.liquid;
    }
}
