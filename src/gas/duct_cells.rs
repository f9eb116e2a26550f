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

use super::exchange::{EndFlux, Exchange};
use super::trace::Trace;
use crate::hardware::duct::{Duct, Piece};
use crate::laws::limiter::{minmod, monotonised_central};
use crate::laws::riemann::{FaceState, hllc};
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

/// Primitive variables in the cells or on faces; one array each.
#[derive(Debug, Clone, Default, PartialEq)]
struct Primitives {
    rho: Vec<f64>,
    u: Vec<f64>,
    p: Vec<f64>,
    burnt: Vec<f64>,
    vapour: Vec<f64>,
    liquid: Vec<f64>,
}

impl Primitives {
    fn zeros(n: usize) -> Self {
        let z = || vec![0.0; n];
        Self { rho: z(), u: z(), p: z(), burnt: z(), vapour: z(), liquid: z() }
    }
}

/// Fluxes through the inner faces, areas included; index 0 and n are the ends.
#[derive(Debug, Clone, Default, PartialEq)]
struct Fluxes {
    mass: Vec<f64>,
    momentum: Vec<f64>,
    energy_rest: Vec<f64>,
    energy_per_xi: Vec<f64>,
    burnt: Vec<f64>,
    vapour: Vec<f64>,
    liquid: Vec<f64>,
}

/// A duct in cells.
#[derive(Debug, Clone, PartialEq)]
pub struct DuctCells {
    n: usize,
    dx: f64,
    face_area: Vec<f64>,
    cell_area: Vec<f64>,
    wall_temperature: Vec<f64>,
    friction: bool,
    now: Primitives,
    gamma: Vec<f64>,
    low: Primitives,
    high: Primitives,
    flux: Fluxes,
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
        let z = || vec![0.0; n + 1];
        Self {
            n,
            dx,
            face_area,
            cell_area,
            wall_temperature,
            friction: true,
            now,
            gamma: vec![gamma; n],
            low: Primitives::zeros(n),
            high: Primitives::zeros(n),
            flux: Fluxes {
                mass: z(),
                momentum: z(),
                energy_rest: z(),
                energy_per_xi: z(),
                burnt: z(),
                vapour: z(),
                liquid: z(),
            },
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
        if far { self.face_area[self.n] } else { self.face_area[0] }
    }

    /// Masses in the duct [kg]: all gas, burnt gas, vapour, liquid.
    #[must_use]
    pub fn store(&self) -> [f64; 4] {
        let mut sum = [0.0; 4];
        for i in 0..self.n {
            let m = self.now.rho[i] * self.cell_area[i] * self.dx;
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
        let h = 0.5 * dt / self.dx;
        for i in 0..self.n {
            let (rho, u, p, g) = (self.now.rho[i], self.now.u[i], self.now.p[i], self.gamma[i]);
            let slope = |q: &[f64]| slope_at(q, i);
            let (d_rho, d_u, d_p) = (slope(&self.now.rho), slope(&self.now.u), slope(&self.now.p));
            let (d_b, d_v, d_l) = (slope(&self.now.burnt), slope(&self.now.vapour), slope(&self.now.liquid));
            let spread = (self.face_area[i + 1] - self.face_area[i]) / self.cell_area[i];
            let rho_h = rho - h * (u * d_rho + rho * d_u + rho * u * spread);
            let u_h = u - h * (u * d_u + d_p / rho);
            let p_h = p - h * (u * d_p + g * p * (d_u + u * spread));
            let shift = h * u;
            let b_h = self.now.burnt[i] - shift * d_b;
            let v_h = self.now.vapour[i] - shift * d_v;
            let l_h = self.now.liquid[i] - shift * d_l;
            // A half state that is not positive falls back to first order in this cell.
            let least_rho = rho_h - 0.5 * d_rho.abs();
            let least_p = p_h - 0.5 * d_p.abs();
            let keep = if least_rho > 0.0 && least_p > 0.0 { 0.5 } else { 0.0 };
            let (rho_h, p_h) = if keep > 0.0 { (rho_h, p_h) } else { (rho, p) };
            self.low.rho[i] = rho_h - keep * d_rho;
            self.high.rho[i] = rho_h + keep * d_rho;
            self.low.u[i] = u_h - keep * d_u;
            self.high.u[i] = u_h + keep * d_u;
            self.low.p[i] = p_h - keep * d_p;
            self.high.p[i] = p_h + keep * d_p;
            self.low.burnt[i] = unit(b_h - keep * d_b);
            self.high.burnt[i] = unit(b_h + keep * d_b);
            self.low.vapour[i] = unit(v_h - keep * d_v);
            self.high.vapour[i] = unit(v_h + keep * d_v);
            self.low.liquid[i] = positive(l_h - keep * d_l);
            self.high.liquid[i] = positive(l_h + keep * d_l);
        }
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
        self.inner_fluxes();
        self.set_end(0, ends.0);
        self.set_end(self.n, ends.1);
        let last = self.n - 1;
        let mut fastest: f64 = 0.0;
        for i in 0..self.n {
            let volume = self.cell_area[i] * self.dx;
            let w = dt / volume;
            let (rho, u, p) = (self.now.rho[i], self.now.u[i], self.now.p[i]);
            let xi = 1.0 / (self.gamma[i] - 1.0);
            let f = &self.flux;
            let energy = |k: usize| f.energy_rest[k] + xi * f.energy_per_xi[k];
            // The wall's push uses the half-time pressure, mean of the two face values of the cell.
            let p_half = 0.5 * (self.low.p[i] + self.high.p[i]);
            let push = p_half * (self.face_area[i + 1] - self.face_area[i]);
            let mut rho_n = rho + w * (f.mass[i] - f.mass[i + 1]);
            let mut mom = rho * u + w * (f.momentum[i] - f.momentum[i + 1] + push);
            let mut e = xi * p + 0.5 * rho * u * u + w * (energy(i) - energy(i + 1));
            let mut b = rho * self.now.burnt[i] + w * (f.burnt[i] - f.burnt[i + 1]);
            let mut v = rho * self.now.vapour[i] + w * (f.vapour[i] - f.vapour[i + 1]);
            let mut l = rho * self.now.liquid[i] + w * (f.liquid[i] - f.liquid[i + 1]);
            for (at, x) in [(0, &exchange.0), (last, &exchange.1)] {
                if at == i {
                    let s = 1.0 / volume;
                    rho_n += s * (x.gas_in - x.gas_out);
                    mom -= s * x.gas_out * u;
                    e += s * ((xi + 1.0) * x.gas_in_rt + x.heat);
                    e -= s * x.gas_out * ((xi + 1.0) * p / rho + 0.5 * u * u);
                    b += s * (x.burnt_in - x.gas_out * self.now.burnt[i]);
                    v += s * (x.vapour_in - x.gas_out * self.now.vapour[i]);
                    l += s * (x.liquid_in - x.gas_out * self.now.liquid[i]);
                }
            }
            let mut u_n = mom / rho_n;
            let (b_n, v_n) = (b / rho_n, v / rho_n);
            let r = gas.r(b_n, v_n);
            if self.friction {
                let t = p / (rho * r);
                let (drag, heating) = walls(rho, u, t, self.cell_area[i]);
                u_n /= 1.0 + dt * drag;
                let gain = dt * heating * (xi + 1.0) * r;
                // Never past the wall's temperature in one step.
                let most = rho * xi * r;
                e += if gain < most { gain } else { most } * (self.wall_temperature[i] - t);
            }
            let p_n = (e - 0.5 * rho_n * u_n * u_n) / xi;
            if !(rho_n > 0.0 && p_n > 0.0 && rho_n.is_finite() && p_n.is_finite()) {
                return Err(Unphysical { x: (i as f64 + 0.5) * self.dx, rho: rho_n, p: p_n });
            }
            let g = gas.gamma(p_n / (rho_n * r), b_n, v_n);
            self.now.rho[i] = rho_n;
            self.now.u[i] = u_n;
            self.now.p[i] = p_n;
            self.now.burnt[i] = b_n;
            self.now.vapour[i] = v_n;
            self.now.liquid[i] = l / rho_n;
            self.gamma[i] = g;
            let s = u_n.abs() + (g * p_n / rho_n).sqrt();
            fastest = if s > fastest { s } else { fastest };
        }
        self.fastest = fastest;
        Ok(())
    }

    fn set_end(&mut self, k: usize, end: EndFlux) {
        self.flux.mass[k] = end.mass;
        self.flux.momentum[k] = end.momentum;
        self.flux.energy_rest[k] = end.energy_rest;
        self.flux.energy_per_xi[k] = end.energy_per_xi;
        self.flux.burnt[k] = end.burnt;
        self.flux.vapour[k] = end.vapour;
        self.flux.liquid[k] = end.liquid;
    }

    fn inner_fluxes(&mut self) {
        for k in 1..self.n {
            let (a, b) = (k - 1, k);
            let l = FaceState { rho: self.high.rho[a], u: self.high.u[a], p: self.high.p[a], gamma: self.gamma[a] };
            let r = FaceState { rho: self.low.rho[b], u: self.low.u[b], p: self.low.p[b], gamma: self.gamma[b] };
            let f = hllc(l, r);
            let area = self.face_area[k];
            let mass = area * f.mass;
            let forward = mass >= 0.0;
            self.flux.mass[k] = mass;
            self.flux.momentum[k] = area * f.momentum;
            self.flux.energy_rest[k] = area * f.energy_rest;
            self.flux.energy_per_xi[k] = area * f.energy_per_xi;
            self.flux.burnt[k] = mass * if forward { self.high.burnt[a] } else { self.low.burnt[b] };
            self.flux.vapour[k] = mass * if forward { self.high.vapour[a] } else { self.low.vapour[b] };
            self.flux.liquid[k] = mass * if forward { self.high.liquid[a] } else { self.low.liquid[b] };
        }
    }
}

/// Limited difference of `q` over cell `i`.
#[inline]
fn slope_at(q: &[f64], i: usize) -> f64 {
    let n = q.len();
    if i == 0 {
        minmod(q[1] - q[0], q[2] - q[1])
    } else if i == n - 1 {
        minmod(q[n - 1] - q[n - 2], q[n - 2] - q[n - 3])
    } else {
        monotonised_central(q[i] - q[i - 1], q[i + 1] - q[i])
    }
}

#[inline]
fn unit(y: f64) -> f64 {
    if y < 0.0 {
        0.0
    } else if y > 1.0 {
        1.0
    } else {
        y
    }
}

#[inline]
fn positive(y: f64) -> f64 {
    if y < 0.0 { 0.0 } else { y }
}

/// Wall friction `f |u|/(2D)` [1/s] and heat conductance per volume and per cp `(f/8) rho |u| 4/D`
/// [kg/(m3 s)].
///
/// Darcy factor of a smooth round pipe, `f = max(64/Re, 0.316 Re^-1/4)` (Blasius, valid to Re 1e5), heat by the
/// Reynolds analogy `St = f/8`. Viscosity of air, linear between 273 and 500 K within 3 %. Source: textbook relations
/// (White, *Fluid Mechanics*, from memory); unsteadiness of the wall layer is not modelled.
#[inline]
fn walls(rho: f64, u: f64, t: f64, area: f64) -> (f64, f64) {
    let d = (area * (4.0 / std::f64::consts::PI)).sqrt();
    let speed = u.abs();
    let viscosity = 1.72e-5 + 4.3e-8 * (t - 273.15);
    let re = rho * speed * d / viscosity + 1e-3;
    let turbulent = 0.316 / re.sqrt().sqrt();
    let laminar = 64.0 / re;
    let f = if laminar > turbulent { laminar } else { turbulent };
    (f * speed / (2.0 * d), 0.5 * f * rho * speed / d)
}
