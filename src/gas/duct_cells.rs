//! One duct in cells, and its step in time.
//!
//! MUSCL-Hancock: limited slopes of the primitive variables (monotonised central; at the two end cells the
//! one-sided minmod), half a step with the primitive equations, HLLC flux between the half-time face
//! states, conservative update. Second order in space and time where smooth. Stable for a Courant number up to 1.
//!
//! Gas at rest: with one pressure everywhere the momentum fluxes `p A` on both faces and the wall's push
//! `p_i (A_r - A_l)` cancel to round-off.
//!
//! At a step of area a face of its own stands between two cells ([`super::step`]); no slope reaches across it.
//!
//! Source: van Leer, SIAM J. Sci. Stat. Comput. 5 (1984) 1; Toro 2009, section 14.4 (from memory).

use super::arrays::{Conserved, Geometry, Primitives};
use super::exchange::{EndFlux, Exchange};
use super::grid::{self, GridError};
use super::kernel;
use super::owed_energy::OwedEnergy;
use super::step::Step;
use super::trace::Trace;
use crate::hardware::duct::Piece;
use crate::laws::limiter::minmod;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

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

/// Floors and fallbacks used since the duct was made.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Fallbacks {
    /// Cells that took their mean for a step because their half-time state would not have been positive.
    pub first_order: u64,
    /// Steps of area whose solve met a bound that its model does not cover.
    pub clipped_steps: u64,
    /// Residuals evaluated at steps of area.
    pub evaluations: u64,
}

/// A duct in cells.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctCells {
    n: usize,
    shape: Geometry,
    /// Middle of each cell [m from the start].
    middle: Vec<f64>,
    steps: Vec<Step>,
    /// Momentum, energy and energy per `xi` that each step gives to its far side beyond what it takes from the near
    /// side.
    step_gain: Vec<[f64; 3]>,
    now: Primitives,
    gamma: Vec<f64>,
    slope: Primitives,
    low: Primitives,
    high: Primitives,
    flux: Conserved,
    new: Conserved,
    speed: Vec<f64>,
    first_order: Vec<f64>,
    owed: OwedEnergy,
    counts: Fallbacks,
    fastest: f64,
    rate: f64,
}

impl DuctCells {
    /// Cuts `pieces` into cells of about `cell_size` [m], filled with gas at rest at `p` [Pa], `t` [K]. A step of area
    /// between two pieces becomes a face of its own.
    ///
    /// # Errors
    /// A part between two steps that is too short for its cells; a diameter that is not positive; a taper too steep.
    pub fn new(pieces: &[Piece], cell_size: f64, gas: &GasModel, p: f64, t: f64) -> Result<Self, GridError> {
        let cut = grid::cut(pieces, cell_size)?;
        Ok(Self::of_grid(cut, gas, p, t))
    }

    /// A duct of `length` [m] in `n` equal cells whose area [m2] is a function of the place [m], without walls.
    #[must_use]
    pub fn of_profile(length: f64, n: usize, area: impl Fn(f64) -> f64, gas: &GasModel, p: f64, t: f64) -> Self {
        Self::of_grid(grid::profile(length, n, area), gas, p, t)
    }

    fn of_grid(cut: grid::Grid, gas: &GasModel, p: f64, t: f64) -> Self {
        let n = cut.middle.len();
        let rho = p / (gas.r(0.0, 0.0) * t);
        let gamma = gas.gamma(t, 0.0, 0.0);
        let mut now = Primitives::zeros(n);
        now.rho.fill(rho);
        now.p.fill(p);
        let fastest = (gamma * p / rho).sqrt();
        let gamma = vec![gamma; n];
        let finest = cut.shape.per_length.iter().fold(0.0, |a: f64, b| a.max(*b));
        Self {
            n,
            shape: cut.shape,
            middle: cut.middle,
            step_gain: vec![[0.0; 3]; cut.steps.len()],
            steps: cut.steps,
            owed: OwedEnergy::new(gas, &now, &gamma),
            now,
            gamma,
            slope: Primitives::zeros(n),
            low: Primitives::zeros(n),
            high: Primitives::zeros(n),
            flux: Conserved::zeros(n + 1),
            new: Conserved::zeros(n),
            speed: vec![0.0; n],
            first_order: vec![0.0; n],
            counts: Fallbacks::default(),
            fastest,
            rate: fastest * finest,
        }
    }

    /// The same duct with smooth, adiabatic walls and without bends.
    #[must_use]
    pub fn without_walls(self) -> Self {
        self.with_walls(false, false)
    }

    /// The same duct with wall friction and losses of bends, and with wall heat, only where wanted.
    #[must_use]
    pub fn with_walls(mut self, friction: bool, heat: bool) -> Self {
        if !friction {
            self.shape.drag.fill(0.0);
            self.shape.loss.fill(0.0);
        }
        if !heat {
            self.shape.heat.fill(0.0);
        }
        self
    }

    /// Sets every cell from a function of `x` [m] -> (density, velocity, pressure, composition).
    pub fn fill(&mut self, gas: &GasModel, state: impl Fn(f64) -> (f64, f64, f64, Composition)) {
        (self.fastest, self.rate) = (0.0, 0.0);
        for i in 0..self.n {
            let (rho, u, p, y) = state(self.middle[i]);
            self.now.rho[i] = rho;
            self.now.u[i] = u;
            self.now.p[i] = p;
            self.now.burnt[i] = y.burnt;
            self.now.vapour[i] = y.vapour;
            self.now.liquid[i] = y.liquid;
            let t = p / (rho * gas.r(y.burnt, y.vapour));
            self.gamma[i] = gas.gamma(t, y.burnt, y.vapour);
            let speed = u.abs() + (self.gamma[i] * p / rho).sqrt();
            self.fastest = self.fastest.max(speed);
            self.rate = self.rate.max(speed * self.shape.per_length[i]);
        }
        self.owed = OwedEnergy::new(gas, &self.now, &self.gamma);
    }

    /// What each cell is owed [J/m3], see [`super::owed_energy`].
    #[must_use]
    pub fn owed_per_volume(&self, gas: &GasModel) -> Vec<f64> {
        self.owed.owed(gas, &self.now)
    }

    /// Owes each cell so much more [J/m3]; [`Self::fill`] leaves them owed nothing.
    pub fn owe(&mut self, more: &[f64]) {
        self.owed.add(more);
    }

    /// Number of cells [-].
    #[must_use]
    pub fn cells(&self) -> usize {
        self.n
    }

    /// Length of cell `i` [m].
    #[must_use]
    pub fn cell_length(&self, i: usize) -> f64 {
        1.0 / self.shape.per_length[i]
    }

    /// Middle of cell `i` [m from the start].
    #[must_use]
    pub fn middle(&self, i: usize) -> f64 {
        self.middle[i]
    }

    /// Volume of cell `i` [m3].
    #[must_use]
    pub fn volume(&self, i: usize) -> f64 {
        1.0 / self.shape.per_volume[i]
    }

    /// Length of the duct [m].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.shape.per_length.iter().map(|x| 1.0 / x).sum()
    }

    /// Fastest `|u| + c` in the duct [m/s].
    #[must_use]
    pub fn fastest(&self) -> f64 {
        self.fastest
    }

    /// Time in which the fastest wave of some cell crosses it [s]: the step of a Courant number of 1.
    #[must_use]
    pub fn crossing_time(&self) -> f64 {
        1.0 / self.rate
    }

    /// Floors and fallbacks used so far.
    #[must_use]
    pub fn fallbacks(&self) -> Fallbacks {
        Fallbacks { first_order: self.first_order.iter().sum::<f64>() as u64, ..self.counts }
    }

    /// State of cell `i`: density [kg/m3], velocity [m/s], pressure [Pa].
    #[must_use]
    pub fn cell(&self, i: usize) -> (f64, f64, f64) {
        (self.now.rho[i], self.now.u[i], self.now.p[i])
    }

    /// Gas that went through face `k`, at the start of cell `k`, in the last step [kg/s].
    #[must_use]
    pub fn mass_flow(&self, k: usize) -> f64 {
        self.flux.mass[k]
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
            let m = self.now.rho[i] / self.shape.per_volume[i];
            sum[0] += m;
            sum[1] += m * self.now.burnt[i];
            sum[2] += m * self.now.vapour[i];
            sum[3] += m * self.now.liquid[i];
        }
        sum
    }

    /// Energy that the cells are owed [J], see [`super::owed_energy`]; together with [`Self::energy`] it is conserved.
    #[must_use]
    pub fn owed_energy(&self, gas: &GasModel) -> f64 {
        let owed = self.owed.owed(gas, &self.now);
        owed.iter().zip(&self.shape.per_volume).map(|(owed, v)| owed / v).sum()
    }

    /// Sensible internal and kinetic energy in the duct [J].
    #[must_use]
    pub fn energy(&self, gas: &GasModel) -> f64 {
        (0..self.n)
            .map(|i| {
                let (rho, u, b, v) = (self.now.rho[i], self.now.u[i], self.now.burnt[i], self.now.vapour[i]);
                let t = self.now.p[i] / (rho * gas.r(b, v));
                rho * (gas.internal_energy(t, b, v) + 0.5 * u * u) / self.shape.per_volume[i]
            })
            .sum()
    }

    /// Half-time state at an end, velocity towards that end. Valid after [`Self::predict`].
    #[must_use]
    pub fn trace(&self, far: bool) -> Trace {
        if far { self.high_side(self.n - 1, self.end_area(true)) } else { self.low_side(0, self.end_area(false)) }
    }

    /// Half-time state on the far side of cell `i`, velocity along +x.
    fn high_side(&self, i: usize, area: f64) -> Trace {
        Self::side(&self.high, self.gamma[i], i, 1.0, area)
    }

    /// Half-time state on the near side of cell `i`, velocity against +x.
    fn low_side(&self, i: usize, area: f64) -> Trace {
        Self::side(&self.low, self.gamma[i], i, -1.0, area)
    }

    fn side(side: &Primitives, gamma: f64, i: usize, sign: f64, area: f64) -> Trace {
        Trace {
            rho: side.rho[i],
            u: sign * side.u[i],
            p: side.p[i],
            gamma,
            composition: Composition { burnt: side.burnt[i], vapour: side.vapour[i], liquid: side.liquid[i] },
            area,
        }
    }

    /// Face states at half time from limited slopes and the primitive equations.
    pub fn predict(&mut self, dt: f64) {
        let (now, d) = (&self.now, &mut self.slope);
        for (q, d) in [(&now.rho, &mut d.rho), (&now.u, &mut d.u), (&now.p, &mut d.p)] {
            kernel::slopes(q, d);
            // No difference is taken across a step of area.
            for step in &self.steps {
                let k = step.face;
                d[k - 1] = minmod(q[k - 1] - q[k - 2], q[k - 2] - q[k - 3]);
                d[k] = minmod(q[k + 1] - q[k], q[k + 2] - q[k + 1]);
            }
        }
        for (q, d) in [(&now.burnt, &mut d.burnt), (&now.vapour, &mut d.vapour), (&now.liquid, &mut d.liquid)] {
            kernel::share_slopes(q, d);
            for step in &self.steps {
                d[step.face - 1] = 0.0;
                d[step.face] = 0.0;
            }
        }
        kernel::half_step(
            0.5 * dt,
            &self.shape,
            &self.gamma,
            &self.now,
            &self.slope,
            (&mut self.low, &mut self.high),
            &mut self.first_order,
        );
    }

    /// One step: inner fluxes, steps of area, the two ends, what circuits put in and take out at the two end cells,
    /// walls.
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
        self.solve_steps();
        self.set_flux(0, ends.0);
        self.set_flux(self.n, ends.1);
        kernel::conserve(dt, &self.shape, &self.gamma, &self.now, (&self.low, &self.high), &self.flux, &mut self.new);
        self.pass_steps(dt);
        self.put(0, &exchange.0);
        self.put(self.n - 1, &exchange.1);
        self.settle(gas, dt, &exchange);
        kernel::renew(gas, dt, &self.shape, &self.new, &mut self.now, (&mut self.gamma, &mut self.speed));
        self.owed.follow(gas, &self.now, &self.gamma);
        self.check()
    }

    /// Fluxes through the steps of area; the near side's stand in the array.
    fn solve_steps(&mut self) {
        for s in 0..self.steps.len() {
            let (k, (before, behind)) = (self.steps[s].face, self.steps[s].area);
            let (near, far) = (self.high_side(k - 1, before), self.low_side(k, behind));
            let (left, right, flow) = self.steps[s].solve(near, far);
            self.counts.clipped_steps += u64::from(flow.clipped);
            self.counts.evaluations += u64::from(flow.evaluations);
            self.step_gain[s] = [
                right.momentum - left.momentum,
                right.energy_rest - left.energy_rest,
                right.energy_per_xi - left.energy_per_xi,
            ];
            self.set_flux(k, left);
        }
    }

    /// What the far side of each step receives beyond the near side's flux: the push of the step's wall.
    fn pass_steps(&mut self, dt: f64) {
        for (step, [momentum, energy, per_xi]) in self.steps.iter().zip(&self.step_gain) {
            let k = step.face;
            let w = dt * self.shape.per_volume[k];
            let xi = 1.0 / (self.gamma[k] - 1.0);
            self.new.momentum[k] += w * momentum;
            self.new.energy[k] += w * (energy + xi * per_xi);
        }
    }

    /// The accounts of energy: what the cells count differently goes in, a share is paid out.
    fn settle(&mut self, gas: &GasModel, dt: f64, exchange: &(Exchange, Exchange)) {
        let v = &self.shape.per_volume;
        self.owed.cross(&self.gamma, &self.flux);
        for (step, [_, energy, per_xi]) in self.steps.iter().zip(&self.step_gain) {
            self.owed.cross_step(step.face, self.flux.mass[step.face], *energy, *per_xi);
        }
        for (far, i, x) in [(false, 0, &exchange.0), (true, self.n - 1, &exchange.1)] {
            self.owed.cross_end(gas, far, &self.gamma, &self.flux);
            self.owed.put(gas, i, v[i], (x.gas_in, x.gas_in_rt, x.burnt_in, x.vapour_in));
        }
        self.owed.pay(dt, v, &mut self.new.energy);
    }

    /// Adds `mass` [kg] of liquid evenly over the wall, to each cell by its wall's area. It takes no volume, brings no
    /// momentum and no heat.
    pub fn add_liquid_along(&mut self, mass: f64) {
        if mass <= 0.0 {
            return;
        }
        // Length times diameter, but for a factor.
        let wall = |i: usize| (1.0 / (self.shape.per_length[i] * self.shape.per_volume[i])).sqrt();
        let whole: f64 = (0..self.n).map(wall).sum();
        for i in 0..self.n {
            self.now.liquid[i] += mass * wall(i) / whole * self.shape.per_volume[i] / self.now.rho[i];
        }
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
        let (mut fastest, mut rate) = (0.0, 0.0);
        for (i, &s) in self.speed.iter().enumerate() {
            // A negative or missing pressure or density makes the speed not a number.
            if !(s.is_finite() && self.now.rho[i] > 0.0 && self.now.p[i] > 0.0) {
                return Err(Unphysical { x: self.middle[i], rho: self.now.rho[i], p: self.now.p[i] });
            }
            let r = s * self.shape.per_length[i];
            fastest = if s > fastest { s } else { fastest };
            rate = if r > rate { r } else { rate };
        }
        (self.fastest, self.rate) = (fastest, rate);
        Ok(())
    }

    fn set_flux(&mut self, k: usize, end: EndFlux) {
        self.flux.mass[k] = end.mass;
        self.flux.momentum[k] = end.momentum;
        self.flux.energy[k] = end.energy_rest;
        self.flux.energy_per_xi[k] = end.energy_per_xi;
        self.flux.burnt[k] = end.burnt;
        self.flux.vapour[k] = end.vapour;
        self.flux.liquid[k] = end.liquid;
    }
}
