//! One duct in cells, and its step in time.
//!
//! MUSCL-Hancock: limited slopes of the primitive variables (monotonised central; at the two end cells the
//! one-sided minmod), half a step with the primitive equations, HLLC flux between the half-time face
//! states, conservative update. Second order in space and time where smooth. Stable for a Courant number up to 1.
//!
//! Gas at rest: with one pressure everywhere the momentum fluxes `p A` on both faces and the wall's push
//! `p_i (A_r - A_l)` cancel to round-off.
//!
//! A duct is a chain of blocks ([`super::block`]). At a plain joint each block sees the other's end cell as if it were its own; at a
//! step of area a face of its own stands between them ([`super::step`]) and no slope reaches across it.
//!
//! Source: van Leer, SIAM J. Sci. Stat. Comput. 5 (1984) 1; Toro 2009, section 14.4 (from memory).

use super::block::{Block, MOST};
use super::exchange::{EndFlux, Exchange};
use super::grid::{self, GridError};
use super::kernel;
use super::owed_energy;
use super::step::Step;
use super::trace::Trace;
use crate::hardware::duct::Piece;
use crate::laws::limiter::{guest_difference, minmod};
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

/// What is computed in the cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fields {
    /// Gas whose `gamma` varies, what it carries, the walls.
    All,
    /// The same with one `gamma`.
    OneGamma,
    /// Gas of one `gamma` alone.
    GasAlone,
}

/// A duct in cells.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctCells {
    n: usize,
    /// Middle of each cell [m from the start].
    middle: Vec<f64>,
    /// The cells.
    pub(super) blocks: Vec<Block>,
    /// Between each block and the next: a step of area, or none where the cells go on.
    joints: Vec<Option<Step>>,
    fields: Fields,
    /// Gas through the two ends in the last step [kg/s].
    through: [f64; 2],
    /// Steps since the offsets of the energy were renewed.
    since_offsets: u32,
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
        let mut duct = Self {
            n,
            middle: cut.middle,
            blocks: Vec::new(),
            joints: Vec::new(),
            fields: Fields::All,
            through: [0.0; 2],
            since_offsets: 0,
            counts: Fallbacks::default(),
            fastest: 0.0,
            rate: 0.0,
        };
        let mut first = 0;
        let ends: Vec<usize> = cut.steps.iter().map(|s| s.face).chain([n]).collect();
        let mut steps = cut.steps.into_iter();
        for end in ends {
            let step = steps.next();
            let parts = (end - first).div_ceil(MOST);
            for part in (1..=parts).rev() {
                let cells = (end - first).div_ceil(part);
                let mut faces = cut.shape.face_area[first..=first + cells].to_vec();
                if let (1, Some(step), Some(last)) = (part, &step, faces.last_mut()) {
                    *last = step.area.0;
                }
                duct.blocks.push(Block::new(&cut.shape, first, &faces));
                if part > 1 {
                    duct.joints.push(None);
                }
                first += cells;
            }
            duct.joints.extend(step.map(Some));
        }
        let rho = p / (gas.r(0.0, 0.0) * t);
        duct.fill(gas, |_| (rho, 0.0, p, Composition::default()));
        duct
    }

    /// The same duct with smooth, adiabatic walls and without bends.
    #[must_use]
    pub fn without_walls(self) -> Self {
        self.with_walls(false, false)
    }

    /// The same duct with wall friction and losses of bends, and with wall heat, only where wanted.
    #[must_use]
    pub fn with_walls(mut self, friction: bool, heat: bool) -> Self {
        for b in &mut self.blocks {
            if !friction {
                b.shape.drag.fill(0.0);
                b.shape.loss.fill(0.0);
            }
            if !heat {
                b.shape.heat.fill(0.0);
            }
        }
        self
    }

    /// The same duct with smooth, adiabatic walls, for gas of one `gamma` that carries nothing along: less than half of the work, the same
    /// answer. For exact checks and for times beside other solvers; what a circuit puts in would be lost.
    #[must_use]
    pub fn gas_alone(self) -> Self {
        Self { fields: Fields::GasAlone, ..self.without_walls() }
    }

    /// The same duct for gas of one `gamma`: what the varying one costs is the difference.
    #[must_use]
    pub fn one_gamma(self) -> Self {
        Self { fields: Fields::OneGamma, ..self }
    }

    /// Sets every cell from a function of `x` [m] -> (density, velocity, pressure, composition).
    pub fn fill(&mut self, gas: &GasModel, state: impl Fn(f64) -> (f64, f64, f64, Composition)) {
        (self.fastest, self.rate) = (0.0, 0.0);
        for b in &mut self.blocks {
            for i in 1..=b.n {
                let (rho, u, p, y) = state(self.middle[b.first + i - 1]);
                b.set(i, gas, (rho, u, p, y));
                let speed = u.abs() + b.also.sound[i];
                self.fastest = self.fastest.max(speed);
                self.rate = self.rate.max(speed * b.shape.per_length[i]);
            }
        }
    }

    /// What each cell is owed [J/m3], see [`super::owed_energy`].
    #[must_use]
    pub fn owed_per_volume(&self, gas: &GasModel) -> Vec<f64> {
        let mut owed = Vec::with_capacity(self.n);
        for b in &self.blocks {
            let mut present = b.clone();
            kernel::renew_offsets(&mut present, gas);
            owed.extend_from_slice(&present.owed[1..=b.n]);
        }
        owed
    }

    /// Owes each cell so much more [J/m3]; [`Self::fill`] leaves them owed nothing.
    pub fn owe(&mut self, more: &[f64]) {
        for b in &mut self.blocks {
            let cells = b.owed[1..=b.n].iter_mut().zip(&more[b.first..]);
            cells.for_each(|(owed, more)| *owed += more);
        }
    }

    /// Number of cells [-].
    #[must_use]
    pub fn cells(&self) -> usize {
        self.n
    }

    /// The block that holds cell `i`, and the cell's place in it.
    fn at(&self, i: usize) -> (&Block, usize) {
        let b = self.blocks.partition_point(|b| b.first <= i) - 1;
        (&self.blocks[b], i - self.blocks[b].first + 1)
    }

    /// Every cell as its block and its place in it.
    fn each(&self) -> impl Iterator<Item = (&Block, usize)> {
        self.blocks.iter().flat_map(|b| (1..=b.n).map(move |i| (b, i)))
    }

    /// Length of cell `i` [m].
    #[must_use]
    pub fn cell_length(&self, i: usize) -> f64 {
        let (b, i) = self.at(i);
        1.0 / b.shape.per_length[i]
    }

    /// Middle of cell `i` [m from the start].
    #[must_use]
    pub fn middle(&self, i: usize) -> f64 {
        self.middle[i]
    }

    /// Volume of cell `i` [m3].
    #[must_use]
    pub fn volume(&self, i: usize) -> f64 {
        let (b, i) = self.at(i);
        1.0 / b.shape.per_volume[i]
    }

    /// Length of the duct [m].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.each().map(|(b, i)| 1.0 / b.shape.per_length[i]).sum()
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
        self.counts
    }

    /// State of cell `i`: density [kg/m3], velocity [m/s], pressure [Pa].
    #[must_use]
    pub fn cell(&self, i: usize) -> (f64, f64, f64) {
        let (b, i) = self.at(i);
        (b.now.rho[i], b.now.u[i], b.now.p[i])
    }

    /// Gas that went through face `k`, at the start of cell `k`, in the last step [kg/s].
    #[must_use]
    pub fn mass_flow(&self, k: usize) -> f64 {
        if k == 0 || k == self.n {
            return self.through[usize::from(k > 0)];
        }
        let (b, i) = self.at(k);
        b.flow.mass[i - 1]
    }

    /// Composition in cell `i`.
    #[must_use]
    pub fn composition(&self, i: usize) -> Composition {
        let (b, i) = self.at(i);
        b.now.composition(i)
    }

    /// The block at the start (`false`) or the far end (`true`), its cell there and the face beyond it.
    fn end(&self, far: bool) -> (&Block, usize, usize) {
        let b = &self.blocks[if far { self.blocks.len() - 1 } else { 0 }];
        if far { (b, b.n, b.n) } else { (b, 1, 0) }
    }

    /// Area of the end at the start (`false`) or the far end (`true`) [m2].
    #[must_use]
    pub fn end_area(&self, far: bool) -> f64 {
        let (b, _, face) = self.end(far);
        b.shape.face_area[face]
    }

    /// Masses in the duct [kg]: all gas, burnt gas, vapour, liquid.
    #[must_use]
    pub fn store(&self) -> [f64; 4] {
        let mut sum = [0.0; 4];
        for (b, i) in self.each() {
            let m = b.now.rho[i] / b.shape.per_volume[i];
            sum[0] += m;
            sum[1] += m * b.now.burnt[i];
            sum[2] += m * b.now.vapour[i];
            sum[3] += m * b.now.liquid[i];
        }
        sum
    }

    /// Energy that the cells are owed [J], see [`super::owed_energy`]; together with [`Self::energy`] it is conserved.
    #[must_use]
    pub fn owed_energy(&self, gas: &GasModel) -> f64 {
        self.owed_per_volume(gas).iter().enumerate().map(|(i, owed)| owed * self.volume(i)).sum()
    }

    /// Sensible internal and kinetic energy in the duct [J].
    #[must_use]
    pub fn energy(&self, gas: &GasModel) -> f64 {
        self.each()
            .map(|(block, i)| {
                let s = &block.now;
                let (rho, u, b, v) = (s.rho[i], s.u[i], s.burnt[i], s.vapour[i]);
                let t = s.p[i] / (rho * gas.r(b, v));
                rho * (gas.internal_energy(t, b, v) + 0.5 * u * u) / block.shape.per_volume[i]
            })
            .sum()
    }

    /// Half-time state at an end, velocity towards that end. Valid after [`Self::predict`].
    #[must_use]
    pub fn trace(&self, far: bool) -> Trace {
        let (b, i, _) = self.end(far);
        b.trace(i, far)
    }

    /// Face states at half time from limited slopes and the primitive equations.
    pub fn predict(&mut self, dt: f64) {
        self.meet_guests();
        for b in &mut self.blocks {
            self.counts.first_order += if self.fields == Fields::GasAlone {
                kernel::predict_alone(b, 0.5 * dt)
            } else {
                kernel::predict(b, 0.5 * dt)
            };
        }
        for j in 0..self.joints.len() {
            if self.joints[j].is_none() {
                let (near, far) = pair(&mut self.blocks, j);
                far.high.copy(0, &near.high, near.n);
                near.low.copy(near.n + 1, &far.low, 1);
            }
        }
    }

    /// What each block sees beyond its ends: the cells of the next one, or what makes the slope there one-sided.
    fn meet_guests(&mut self) {
        let last = self.blocks.len() - 1;
        for k in 0..=last {
            if k == 0 || self.joints[k - 1].is_some() {
                self.blocks[k].one_sided(false);
            }
            if k == last || self.joints[k].is_some() {
                self.blocks[k].one_sided(true);
            } else {
                let (near, far) = pair(&mut self.blocks, k);
                near.see(near.n + 1, far, 1);
                far.see(0, near, near.n);
            }
        }
    }

    /// One step: inner flows, steps of area, the two ends, what circuits put in and take out at the two end cells,
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
        for b in &mut self.blocks {
            if self.fields == Fields::GasAlone { kernel::flows_alone(b) } else { kernel::flows(b) }
        }
        self.solve_steps();
        self.set_end(gas, dt, false, &ends.0, &exchange.0);
        self.set_end(gas, dt, true, &ends.1, &exchange.1);
        let paid = owed_energy::share_paid(dt);
        (self.fastest, self.rate) = (0.0, 0.0);
        let mut sound = true;
        for b in &mut self.blocks {
            let f = match self.fields {
                Fields::All => kernel::renew(b, gas, dt, paid),
                Fields::OneGamma => kernel::renew_one_gamma(b, gas, dt, paid),
                Fields::GasAlone => kernel::renew_alone(b, gas, dt),
            };
            sound &= f.rate.is_finite() && f.speed.is_finite();
            self.fastest = self.fastest.max(f.speed);
            self.rate = self.rate.max(f.rate);
        }
        if !sound {
            return Err(self.unphysical());
        }
        self.since_offsets += 1;
        if self.since_offsets >= owed_energy::STEPS && self.fields == Fields::All {
            self.since_offsets = 0;
            for b in &mut self.blocks {
                kernel::renew_offsets(b, gas);
            }
        }
        Ok(())
    }

    /// Flows through the steps of area.
    fn solve_steps(&mut self) {
        for (j, joint) in self.joints.iter_mut().enumerate() {
            let Some(step) = joint else { continue };
            let (near, far) = pair(&mut self.blocks, j);
            let n = near.n;
            let (left, right, flow) = step.solve(near.trace(n, true), far.trace(1, false));
            self.counts.clipped_steps += u64::from(flow.clipped);
            self.counts.evaluations += u64::from(flow.evaluations);
            let gap =
                owed_energy::parted((&near.also, near.offset[n], n, &left), (&far.also, far.offset[1], 1, &right));
            let on = if left.mass >= 0.0 { gap } else { 0.0 };
            near.set_flow(n, &left, (0.0, gap - on));
            far.set_flow(0, &right, (on, 0.0));
        }
    }

    /// Flow through an end, and with it what circuits put into the end cell and draw from it in the step.
    fn set_end(&mut self, gas: &GasModel, dt: f64, far: bool, end: &EndFlux, x: &Exchange) {
        self.through[usize::from(far)] = end.mass;
        let k = if far { self.blocks.len() - 1 } else { 0 };
        let b = &mut self.blocks[k];
        let (i, face, sign) = if far { (b.n, b.n, -1.0) } else { (1, 0, 1.0) };
        let beyond = sign * owed_energy::beyond(gas, &b.also, b.offset[i], i, end);
        let put = owed_energy::put(gas, &b.also, b.offset[i], i, x);
        let account = beyond + put / dt;
        let flux = end.plus(sign / dt, &b.flow_of_exchange(i, x));
        b.set_flow(face, &flux, if far { (0.0, account) } else { (account, 0.0) });
    }

    /// Adds `mass` [kg] of liquid evenly over the wall, to each cell by its wall's area. It takes no volume, brings no
    /// momentum and no heat.
    pub fn add_liquid_along(&mut self, mass: f64) {
        if mass <= 0.0 {
            return;
        }
        // Length times diameter, but for a factor.
        let wall = |b: &Block, i: usize| (1.0 / (b.shape.per_length[i] * b.shape.per_volume[i])).sqrt();
        let whole: f64 = self.each().map(|(b, i)| wall(b, i)).sum();
        for b in &mut self.blocks {
            for i in 1..=b.n {
                b.now.liquid[i] += mass * wall(b, i) / whole * b.shape.per_volume[i] / b.now.rho[i];
            }
        }
    }

    /// The first cell that left physical bounds.
    fn unphysical(&self) -> Unphysical {
        let bad = |b: &Block, i: usize| {
            let (rho, p) = (b.now.rho[i], b.now.p[i]);
            !(rho > 0.0 && p > 0.0 && b.also.sound[i].is_finite() && b.now.u[i].is_finite())
        };
        let place = self.each().position(|(b, i)| bad(b, i)).unwrap_or(0);
        let (b, i) = self.at(place);
        Unphysical { x: self.middle[place], rho: b.now.rho[i], p: b.now.p[i] }
    }
}

/// The blocks on both sides of joint `j`.
fn pair(blocks: &mut [Block], j: usize) -> (&mut Block, &mut Block) {
    let (near, far) = blocks.split_at_mut(j + 1);
    (&mut near[j], &mut far[0])
}

impl Block {
    /// Half-time state on one side of cell `i`, velocity towards that side.
    fn trace(&self, i: usize, far: bool) -> Trace {
        let (side, face) = if far { (&self.high, i) } else { (&self.low, i - 1) };
        Trace {
            rho: side.rho[i],
            u: if far { side.u[i] } else { -side.u[i] },
            p: side.p[i],
            gamma: self.also.gamma[i],
            composition: side.composition(i),
            area: self.shape.face_area[face],
        }
    }

    /// Sets the guest at an end so that the slope in the end cell is the smaller of the two one-sided ones, and flat for what is
    /// carried: a slope that looks only inwards would let an empty end cell give away what it does not have.
    fn one_sided(&mut self, far: bool) {
        let (guest, [a, b, c]) = if far { (self.n + 1, [self.n, self.n - 1, self.n - 2]) } else { (0, [1, 2, 3]) };
        let s = &mut self.now;
        for q in [&mut s.rho, &mut s.u, &mut s.p] {
            let (first, second) = (q[b] - q[a], q[c] - q[b]);
            q[guest] = q[a] - guest_difference(minmod(first, second), first);
        }
        for y in [&mut s.burnt, &mut s.vapour, &mut s.liquid] {
            y[guest] = y[a];
        }
    }
}
