//! The loops over cells and faces, one array per variable.
//!
//! Each loop is free of branches and runs over slices of one length, so that the compiler takes several cells at once; a
//! version for AVX2 is chosen at run time. No fused multiply-add is used: every version gives the same bits. The loops take each
//! array as an argument of its own, which tells the compiler that none overlaps another; hence their many arguments.

#![allow(clippy::too_many_arguments)]

use multiversion::multiversion;

use super::arrays::{Conserved, Geometry, Primitives};
use super::walls::walls;
use crate::laws::limiter::{minmod, monotonised_central};
use crate::laws::riemann::{FaceState, hllc};
use crate::media::gas::GasModel;

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

/// The same for a share of the gas, flat in the two end cells: a slope that looks only inwards would let an empty end cell give
/// away what it does not have.
pub fn share_slopes(q: &[f64], d: &mut [f64]) {
    slopes(q, d);
    d[0] = 0.0;
    d[q.len() - 1] = 0.0;
}

/// Half-time face values on both sides of each cell: half a step of the primitive equations, then plus and minus half the
/// slope. A cell whose half state would not be positive falls back to its mean (first order) and is counted in `fallbacks`.
/// `h` is half the time step [s].
pub fn half_step(
    h: f64,
    shape: &Geometry,
    gamma: &[f64],
    now: &Primitives,
    d: &Primitives,
    (low, high): (&mut Primitives, &mut Primitives),
    fallbacks: &mut [f64],
) {
    gas_half_step(
        h,
        (&shape.spread, &shape.per_length),
        gamma,
        (&now.rho, &now.u, &now.p),
        (&d.rho, &d.u, &d.p),
        &mut low.rho,
        &mut low.u,
        &mut low.p,
        &mut high.rho,
        &mut high.u,
        &mut high.p,
        fallbacks,
    );
    let l = &shape.per_length;
    carried(h, l, &now.u, &now.burnt, &d.burnt, &mut low.burnt, &mut high.burnt);
    carried(h, l, &now.u, &now.vapour, &d.vapour, &mut low.vapour, &mut high.vapour);
    carried(h, l, &now.u, &now.liquid, &d.liquid, &mut low.liquid, &mut high.liquid);
}

/// Density, velocity and pressure of [`half_step`].
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn gas_half_step(
    h: f64,
    (spread, per_length): (&[f64], &[f64]),
    gamma: &[f64],
    (rho, u, p): (&[f64], &[f64], &[f64]),
    (d_rho, d_u, d_p): (&[f64], &[f64], &[f64]),
    rl: &mut [f64],
    ul: &mut [f64],
    pl: &mut [f64],
    rh: &mut [f64],
    uh: &mut [f64],
    ph: &mut [f64],
    fallbacks: &mut [f64],
) {
    let n = spread.len();
    let (per_length, fallbacks) = (&per_length[..n], &mut fallbacks[..n]);
    let (rho, u, p, gamma) = (&rho[..n], &u[..n], &p[..n], &gamma[..n]);
    let (d_rho, d_u, d_p) = (&d_rho[..n], &d_u[..n], &d_p[..n]);
    let (rl, ul, pl) = (&mut rl[..n], &mut ul[..n], &mut pl[..n]);
    let (rh, uh, ph) = (&mut rh[..n], &mut uh[..n], &mut ph[..n]);
    for i in 0..n {
        let (r0, u0, p0, g) = (rho[i], u[i], p[i], gamma[i]);
        let (dr, du, dp) = (d_rho[i], d_u[i], d_p[i]);
        let h = h * per_length[i];
        let s = du + u0 * spread[i];
        let rho_h = r0 - h * (u0 * dr + r0 * s);
        let u_h = u0 - h * (u0 * du + dp / r0);
        let p_h = p0 - h * (u0 * dp + g * p0 * s);
        let sound = (rho_h - 0.5 * dr.abs() > 0.0) & (p_h - 0.5 * dp.abs() > 0.0);
        let keep = if sound { 0.5 } else { 0.0 };
        fallbacks[i] += 1.0 - 2.0 * keep;
        let rho_h = if sound { rho_h } else { r0 };
        let p_h = if sound { p_h } else { p0 };
        rl[i] = rho_h - keep * dr;
        rh[i] = rho_h + keep * dr;
        ul[i] = u_h - keep * du;
        uh[i] = u_h + keep * du;
        pl[i] = p_h - keep * dp;
        ph[i] = p_h + keep * dp;
    }
}

/// Half-time face values of something carried along, never negative.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn carried(h: f64, per_length: &[f64], u: &[f64], y: &[f64], d: &[f64], low: &mut [f64], high: &mut [f64]) {
    let n = u.len();
    let (per_length, y, d, low, high) = (&per_length[..n], &y[..n], &d[..n], &mut low[..n], &mut high[..n]);
    for i in 0..n {
        let mid = y[i] - h * per_length[i] * u[i] * d[i];
        let (a, b) = (mid - 0.5 * d[i], mid + 0.5 * d[i]);
        low[i] = if a > 0.0 { a } else { 0.0 };
        high[i] = if b > 0.0 { b } else { 0.0 };
    }
}

/// Fluxes through the inner faces, areas included. Face `k` lies between cells `k - 1` and `k`.
pub fn inner_fluxes(shape: &Geometry, gamma: &[f64], low: &Primitives, high: &Primitives, flux: &mut Conserved) {
    let m = gamma.len() - 1;
    gas_fluxes(
        &shape.face_area[1..=m],
        (&gamma[..m], &high.rho[..m], &high.u[..m], &high.p[..m]),
        (&gamma[1..=m], &low.rho[1..=m], &low.u[1..=m], &low.p[1..=m]),
        &mut flux.mass[1..=m],
        &mut flux.momentum[1..=m],
        &mut flux.energy[1..=m],
        &mut flux.energy_per_xi[1..=m],
    );
    let mass = &flux.mass[1..=m];
    upwind(mass, &high.burnt[..m], &low.burnt[1..=m], &mut flux.burnt[1..=m]);
    upwind(mass, &high.vapour[..m], &low.vapour[1..=m], &mut flux.vapour[1..=m]);
    upwind(mass, &high.liquid[..m], &low.liquid[1..=m], &mut flux.liquid[1..=m]);
}

/// `gamma`, density, velocity and pressure on one side of the faces.
type FaceSide<'a> = (&'a [f64], &'a [f64], &'a [f64], &'a [f64]);

/// Mass, momentum and energy of [`inner_fluxes`].
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn gas_fluxes(
    area: &[f64],
    (g_l, rho_l, u_l, p_l): FaceSide<'_>,
    (g_r, rho_r, u_r, p_r): FaceSide<'_>,
    mass: &mut [f64],
    momentum: &mut [f64],
    energy: &mut [f64],
    per_xi: &mut [f64],
) {
    let m = area.len();
    let (g_l, rho_l, u_l, p_l) = (&g_l[..m], &rho_l[..m], &u_l[..m], &p_l[..m]);
    let (g_r, rho_r, u_r, p_r) = (&g_r[..m], &rho_r[..m], &u_r[..m], &p_r[..m]);
    let (mass, momentum) = (&mut mass[..m], &mut momentum[..m]);
    let (energy, per_xi) = (&mut energy[..m], &mut per_xi[..m]);
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

/// Mass flux times what the upwind side carries.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn upwind(mass: &[f64], left: &[f64], right: &[f64], out: &mut [f64]) {
    let m = mass.len();
    let (left, right, out) = (&left[..m], &right[..m], &mut out[..m]);
    for k in 0..m {
        let (f, l, r) = (mass[k], left[k], right[k]);
        out[k] = f * if f >= 0.0 { l } else { r };
    }
}

/// New conserved quantities from the fluxes through both faces and the push of the tapered wall. `faces` are the half-time
/// values on both sides of each cell.
pub fn conserve(
    dt: f64,
    shape: &Geometry,
    gamma: &[f64],
    now: &Primitives,
    faces: (&Primitives, &Primitives),
    flux: &Conserved,
    new: &mut Conserved,
) {
    gas_conserve(
        dt,
        (&shape.per_volume, &shape.rise, gamma),
        (&now.rho, &now.u, &now.p),
        (&faces.0.p, &faces.1.p),
        (&flux.mass, &flux.momentum, &flux.energy, &flux.energy_per_xi),
        &mut new.mass,
        &mut new.momentum,
        &mut new.energy,
    );
    let v = &shape.per_volume;
    share(dt, v, &now.rho, &now.burnt, &flux.burnt, &mut new.burnt);
    share(dt, v, &now.rho, &now.vapour, &flux.vapour, &mut new.vapour);
    share(dt, v, &now.rho, &now.liquid, &flux.liquid, &mut new.liquid);
}

/// Mass, momentum and energy of [`conserve`].
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn gas_conserve(
    dt: f64,
    (per_volume, rise, gamma): (&[f64], &[f64], &[f64]),
    (rho, u, p): (&[f64], &[f64], &[f64]),
    (p_low, p_high): (&[f64], &[f64]),
    (mass_f, momentum_f, energy_f, per_xi_f): FaceSide<'_>,
    mass: &mut [f64],
    momentum: &mut [f64],
    energy: &mut [f64],
) {
    let n = per_volume.len();
    let (rise, gamma, rho, u, p) = (&rise[..n], &gamma[..n], &rho[..n], &u[..n], &p[..n]);
    let (p_low, p_high) = (&p_low[..n], &p_high[..n]);
    let (m0, m1) = (&mass_f[..n], &mass_f[1..=n]);
    let (f0, f1) = (&momentum_f[..n], &momentum_f[1..=n]);
    let (e0, e1) = (&energy_f[..n], &energy_f[1..=n]);
    let (x0, x1) = (&per_xi_f[..n], &per_xi_f[1..=n]);
    let (mass, momentum, energy) = (&mut mass[..n], &mut momentum[..n], &mut energy[..n]);
    for i in 0..n {
        let w = dt * per_volume[i];
        let xi = 1.0 / (gamma[i] - 1.0);
        let push = 0.5 * (p_low[i] + p_high[i]) * rise[i];
        mass[i] = rho[i] + w * (m0[i] - m1[i]);
        momentum[i] = rho[i] * u[i] + w * (f0[i] - f1[i] + push);
        energy[i] = xi * p[i] + 0.5 * rho[i] * u[i] * u[i] + w * ((e0[i] - e1[i]) + xi * (x0[i] - x1[i]));
    }
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

/// Primitive variables from the conserved ones, with the walls' drag and heat and the loss of bends; `gamma` is renewed
/// and the fastest `|u| + c` of each cell written to `speed`.
pub fn renew(
    gas: &GasModel,
    dt: f64,
    shape: &Geometry,
    new: &Conserved,
    now: &mut Primitives,
    (gamma, speed): (&mut [f64], &mut [f64]),
) {
    ratio(&new.mass, &new.liquid, &mut now.liquid);
    gas_renew(
        gas,
        dt,
        (&shape.cell_area, &shape.wall_temperature),
        (&shape.drag, &shape.heat, &shape.loss),
        (&new.mass, &new.momentum, &new.energy),
        (&new.burnt, &new.vapour),
        &mut now.rho,
        &mut now.u,
        &mut now.p,
        &mut now.burnt,
        &mut now.vapour,
        gamma,
        speed,
    );
}

/// `part / mass`.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn ratio(mass: &[f64], part: &[f64], out: &mut [f64]) {
    let n = mass.len();
    let (part, out) = (&part[..n], &mut out[..n]);
    for i in 0..n {
        out[i] = part[i] / mass[i];
    }
}

/// The gas of [`renew`].
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn gas_renew(
    gas: &GasModel,
    dt: f64,
    (area, wall_temperature): (&[f64], &[f64]),
    (drag_on, heat_on, loss): (&[f64], &[f64], &[f64]),
    (mass, momentum, energy): (&[f64], &[f64], &[f64]),
    (burnt, vapour): (&[f64], &[f64]),
    rho: &mut [f64],
    u: &mut [f64],
    p: &mut [f64],
    yb: &mut [f64],
    yv: &mut [f64],
    gamma: &mut [f64],
    speed: &mut [f64],
) {
    let n = area.len();
    let gas = *gas;
    let (wall_temperature, mass, momentum, energy) = (&wall_temperature[..n], &mass[..n], &momentum[..n], &energy[..n]);
    let (burnt, vapour) = (&burnt[..n], &vapour[..n]);
    let (drag_on, heat_on, loss) = (&drag_on[..n], &heat_on[..n], &loss[..n]);
    let (rho, u, p, yb, yv) = (&mut rho[..n], &mut u[..n], &mut p[..n], &mut yb[..n], &mut yv[..n]);
    let (gamma, speed) = (&mut gamma[..n], &mut speed[..n]);
    for i in 0..n {
        let m = mass[i];
        let inverse = 1.0 / m;
        let xi = 1.0 / (gamma[i] - 1.0);
        let (b, v) = (burnt[i] * inverse, vapour[i] * inverse);
        let r = gas.r(b, v);
        // The walls act on the state before this step's change.
        let t = p[i] / (rho[i] * r);
        let (drag, heating) = walls(rho[i], u[i], t, area[i]);
        let drag = drag_on[i] * drag + 0.5 * loss[i] * u[i].abs();
        let u_n = momentum[i] * inverse / (1.0 + dt * drag);
        // Implicit in the gas's temperature: never past the wall's in one step.
        let gain = heat_on[i] * dt * heating * (xi + 1.0) * r;
        let capacity = rho[i] * xi * r;
        let e = energy[i] + gain * capacity / (capacity + gain) * (wall_temperature[i] - t);
        let p_n = (e - 0.5 * m * u_n * u_n) / xi;
        let g = gas.gamma(p_n * inverse / r, b, v);
        rho[i] = m;
        u[i] = u_n;
        p[i] = p_n;
        yb[i] = b;
        yv[i] = v;
        gamma[i] = g;
        speed[i] = u_n.abs() + (g * p_n * inverse).sqrt();
    }
}
