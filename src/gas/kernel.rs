//! The loops over cells and faces, one array per variable.
//!
//! Each loop is free of branches and runs over slices of one length, so that the compiler takes several cells at once; a
//! version for AVX2 is chosen at run time. No fused multiply-add is used: every version gives the same bits.

use multiversion::multiversion;

use super::walls::walls;
use crate::laws::limiter::{minmod, monotonised_central};
use crate::laws::riemann::{FaceState, hllc};
use crate::media::gas::GasModel;

/// Primitive variables in the cells or on one side of the faces.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Primitives {
    /// Density [kg/m3].
    pub rho: Vec<f64>,
    /// Velocity [m/s].
    pub u: Vec<f64>,
    /// Pressure [Pa].
    pub p: Vec<f64>,
    /// Burnt gas [-].
    pub burnt: Vec<f64>,
    /// Fuel vapour [-].
    pub vapour: Vec<f64>,
    /// Liquid fuel carried, over the mass of gas [-].
    pub liquid: Vec<f64>,
}

/// Conserved quantities per volume, or their fluxes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conserved {
    /// Mass.
    pub mass: Vec<f64>,
    /// Momentum.
    pub momentum: Vec<f64>,
    /// Energy; of a flux, without the part per `xi`.
    pub energy: Vec<f64>,
    /// Of a flux: energy per `xi`.
    pub energy_per_xi: Vec<f64>,
    /// Burnt gas.
    pub burnt: Vec<f64>,
    /// Fuel vapour.
    pub vapour: Vec<f64>,
    /// Liquid fuel.
    pub liquid: Vec<f64>,
}

/// Shape of a duct in cells.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Geometry {
    /// Area of each face [m2].
    pub face_area: Vec<f64>,
    /// Mean area of each cell [m2].
    pub cell_area: Vec<f64>,
    /// One over the volume of each cell [1/m3].
    pub per_volume: Vec<f64>,
    /// Growth of area over each cell [m2].
    pub rise: Vec<f64>,
    /// Growth of area over each cell, over its mean area [-].
    pub spread: Vec<f64>,
    /// Temperature of the wall [K].
    pub wall_temperature: Vec<f64>,
}

impl Primitives {
    /// `n` zeros each.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        let z = || vec![0.0; n];
        Self { rho: z(), u: z(), p: z(), burnt: z(), vapour: z(), liquid: z() }
    }
}

impl Conserved {
    /// `n` zeros each.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        let z = || vec![0.0; n];
        Self { mass: z(), momentum: z(), energy: z(), energy_per_xi: z(), burnt: z(), vapour: z(), liquid: z() }
    }
}

/// Limited difference over each cell; at the two ends the smaller of the two one-sided differences.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
pub fn slopes(q: &[f64], d: &mut [f64]) {
    let n = q.len();
    let m = n - 2;
    let (a, b, c) = (&q[..m], &q[1..=m], &q[2..]);
    {
        let inner = &mut d[1..=m];
        for i in 0..m {
            inner[i] = monotonised_central(b[i] - a[i], c[i] - b[i]);
        }
    }
    d[0] = minmod(q[1] - q[0], q[2] - q[1]);
    d[n - 1] = minmod(q[n - 1] - q[n - 2], q[n - 2] - q[n - 3]);
}

/// Half-time face values on both sides of each cell: half a step of the primitive equations, then plus and minus half the
/// slope. A cell whose half state would not be positive falls back to its mean (first order).
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
pub fn half_step(
    h: f64,
    spread: &[f64],
    gamma: &[f64],
    now: &Primitives,
    d: &Primitives,
    low: &mut Primitives,
    high: &mut Primitives,
) {
    let n = spread.len();
    let (rho, u, p) = (&now.rho[..n], &now.u[..n], &now.p[..n]);
    let (d_rho, d_u, d_p) = (&d.rho[..n], &d.u[..n], &d.p[..n]);
    let gamma = &gamma[..n];
    {
        let (rl, ul, pl) = (&mut low.rho[..n], &mut low.u[..n], &mut low.p[..n]);
        let (rh, uh, ph) = (&mut high.rho[..n], &mut high.u[..n], &mut high.p[..n]);
        for i in 0..n {
            let s = u[i] * spread[i];
            let rho_h = rho[i] - h * (u[i] * d_rho[i] + rho[i] * (d_u[i] + s));
            let u_h = u[i] - h * (u[i] * d_u[i] + d_p[i] / rho[i]);
            let p_h = p[i] - h * (u[i] * d_p[i] + gamma[i] * p[i] * (d_u[i] + s));
            let sound = (rho_h - 0.5 * d_rho[i].abs() > 0.0) & (p_h - 0.5 * d_p[i].abs() > 0.0);
            let keep = if sound { 0.5 } else { 0.0 };
            let rho_h = if sound { rho_h } else { rho[i] };
            let p_h = if sound { p_h } else { p[i] };
            rl[i] = rho_h - keep * d_rho[i];
            rh[i] = rho_h + keep * d_rho[i];
            ul[i] = u_h - keep * d_u[i];
            uh[i] = u_h + keep * d_u[i];
            pl[i] = p_h - keep * d_p[i];
            ph[i] = p_h + keep * d_p[i];
        }
    }
    carried(h, u, &now.burnt, &d.burnt, &mut low.burnt, &mut high.burnt);
    carried(h, u, &now.vapour, &d.vapour, &mut low.vapour, &mut high.vapour);
    carried(h, u, &now.liquid, &d.liquid, &mut low.liquid, &mut high.liquid);
}

/// Half-time face values of something carried along, never negative.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn carried(h: f64, u: &[f64], y: &[f64], d: &[f64], low: &mut [f64], high: &mut [f64]) {
    let n = u.len();
    let (y, d, low, high) = (&y[..n], &d[..n], &mut low[..n], &mut high[..n]);
    for i in 0..n {
        let mid = y[i] - h * u[i] * d[i];
        let (a, b) = (mid - 0.5 * d[i], mid + 0.5 * d[i]);
        low[i] = if a > 0.0 { a } else { 0.0 };
        high[i] = if b > 0.0 { b } else { 0.0 };
    }
}

/// Fluxes through the inner faces, areas included. Face `k` lies between cells `k - 1` and `k`.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
pub fn inner_fluxes(area: &[f64], gamma: &[f64], low: &Primitives, high: &Primitives, flux: &mut Conserved) {
    let m = gamma.len() - 1;
    let area = &area[1..=m];
    let (g_l, g_r) = (&gamma[..m], &gamma[1..=m]);
    let (rho_l, u_l, p_l) = (&high.rho[..m], &high.u[..m], &high.p[..m]);
    let (rho_r, u_r, p_r) = (&low.rho[1..=m], &low.u[1..=m], &low.p[1..=m]);
    {
        let mass = &mut flux.mass[1..=m];
        let momentum = &mut flux.momentum[1..=m];
        let energy = &mut flux.energy[1..=m];
        let per_xi = &mut flux.energy_per_xi[1..=m];
        for k in 0..m {
            let l = FaceState { rho: rho_l[k], u: u_l[k], p: p_l[k], gamma: g_l[k] };
            let r = FaceState { rho: rho_r[k], u: u_r[k], p: p_r[k], gamma: g_r[k] };
            let f = hllc(l, r);
            mass[k] = area[k] * f.mass;
            momentum[k] = area[k] * f.momentum;
            energy[k] = area[k] * f.energy_rest;
            per_xi[k] = area[k] * f.energy_per_xi;
        }
    }
    let mass = &flux.mass[1..=m];
    upwind(mass, &high.burnt[..m], &low.burnt[1..=m], &mut flux.burnt[1..=m]);
    upwind(mass, &high.vapour[..m], &low.vapour[1..=m], &mut flux.vapour[1..=m]);
    upwind(mass, &high.liquid[..m], &low.liquid[1..=m], &mut flux.liquid[1..=m]);
}

/// Mass flux times what the upwind side carries.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn upwind(mass: &[f64], left: &[f64], right: &[f64], out: &mut [f64]) {
    let m = mass.len();
    let (left, right, out) = (&left[..m], &right[..m], &mut out[..m]);
    for k in 0..m {
        out[k] = mass[k] * if mass[k] >= 0.0 { left[k] } else { right[k] };
    }
}

/// New conserved quantities from the fluxes through both faces and the push of the tapered wall.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
pub fn conserve(
    dt: f64,
    shape: &Geometry,
    gamma: &[f64],
    now: &Primitives,
    faces: (&Primitives, &Primitives),
    flux: &Conserved,
    new: &mut Conserved,
) {
    let per_volume = &shape.per_volume;
    let n = per_volume.len();
    let (rho, u, p) = (&now.rho[..n], &now.u[..n], &now.p[..n]);
    let (gamma, rise) = (&gamma[..n], &shape.rise[..n]);
    let (p_low, p_high) = (&faces.0.p[..n], &faces.1.p[..n]);
    {
        let (m0, m1) = (&flux.mass[..n], &flux.mass[1..=n]);
        let (f0, f1) = (&flux.momentum[..n], &flux.momentum[1..=n]);
        let (e0, e1) = (&flux.energy[..n], &flux.energy[1..=n]);
        let (x0, x1) = (&flux.energy_per_xi[..n], &flux.energy_per_xi[1..=n]);
        let (mass, momentum, energy) = (&mut new.mass[..n], &mut new.momentum[..n], &mut new.energy[..n]);
        for i in 0..n {
            let w = dt * per_volume[i];
            let xi = 1.0 / (gamma[i] - 1.0);
            let push = 0.5 * (p_low[i] + p_high[i]) * rise[i];
            mass[i] = rho[i] + w * (m0[i] - m1[i]);
            momentum[i] = rho[i] * u[i] + w * (f0[i] - f1[i] + push);
            energy[i] = xi * p[i] + 0.5 * rho[i] * u[i] * u[i] + w * ((e0[i] - e1[i]) + xi * (x0[i] - x1[i]));
        }
    }
    share(dt, per_volume, rho, &now.burnt, &flux.burnt, &mut new.burnt);
    share(dt, per_volume, rho, &now.vapour, &flux.vapour, &mut new.vapour);
    share(dt, per_volume, rho, &now.liquid, &flux.liquid, &mut new.liquid);
}

/// New mass per volume of something carried along.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn share(dt: f64, per_volume: &[f64], rho: &[f64], y: &[f64], flux: &[f64], new: &mut [f64]) {
    let n = per_volume.len();
    let (rho, y, a, b, new) = (&rho[..n], &y[..n], &flux[..n], &flux[1..=n], &mut new[..n]);
    for i in 0..n {
        new[i] = rho[i] * y[i] + dt * per_volume[i] * (a[i] - b[i]);
    }
}

/// Primitive variables from the conserved ones, with the walls' drag (`wall` 1, or 0 for none) and heat; `gamma` is renewed
/// and the fastest `|u| + c` of each cell written to `speed`.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
pub fn renew(
    gas: &GasModel,
    dt: f64,
    wall: f64,
    shape: &Geometry,
    new: &Conserved,
    now: &mut Primitives,
    (gamma, speed): (&mut [f64], &mut [f64]),
) {
    let area = &shape.cell_area;
    let n = area.len();
    let (mass, momentum, energy) = (&new.mass[..n], &new.momentum[..n], &new.energy[..n]);
    let (burnt, vapour, liquid) = (&new.burnt[..n], &new.vapour[..n], &new.liquid[..n]);
    let wall_temperature = &shape.wall_temperature[..n];
    let (rho, u, p) = (&mut now.rho[..n], &mut now.u[..n], &mut now.p[..n]);
    let (yb, yv, yl) = (&mut now.burnt[..n], &mut now.vapour[..n], &mut now.liquid[..n]);
    let (gamma, speed) = (&mut gamma[..n], &mut speed[..n]);
    for i in 0..n {
        let inverse = 1.0 / mass[i];
        let xi = 1.0 / (gamma[i] - 1.0);
        let (b, v) = (burnt[i] * inverse, vapour[i] * inverse);
        let r = gas.r(b, v);
        // The walls act on the state before this step's change.
        let t = p[i] / (rho[i] * r);
        let (drag, heating) = walls(rho[i], u[i], t, area[i]);
        let u_n = momentum[i] * inverse / (1.0 + wall * dt * drag);
        let gain = dt * heating * (xi + 1.0) * r;
        // Never past the wall's temperature in one step.
        let most = rho[i] * xi * r;
        let gain = if gain < most { gain } else { most };
        let e = energy[i] + wall * gain * (wall_temperature[i] - t);
        let p_n = (e - 0.5 * mass[i] * u_n * u_n) / xi;
        let g = gas.gamma(p_n * inverse / r, b, v);
        rho[i] = mass[i];
        u[i] = u_n;
        p[i] = p_n;
        yb[i] = b;
        yv[i] = v;
        yl[i] = liquid[i] * inverse;
        gamma[i] = g;
        speed[i] = u_n.abs() + (g * p_n * inverse).sqrt();
    }
}
