//! The loops over the cells and faces of a block.
//!
//! Three passes make a step: half-time values in the cells, flows through the faces, new state. Each is free of branches and runs
//! over whole groups of cells, so that the compiler takes several at once; a version for AVX-512 or AVX2 is chosen at run time. No
//! fused multiply-add is used: every version gives the same bits. Whether a loop is taken several cells at once is up to the compiler and
//! easily lost (a load behind a condition is enough): look at the assembly or at `benches/instructions.sh` after a change.
//!
//! Divisions and square roots are what such a loop waits for, so they are few: what a cell needs of the kind is computed once, when
//! its state is new ([`Derived`](super::block::Derived)), and quotients share a division where they can.

use multiversion::multiversion;

use super::block::{Block, Row, whole};
use super::walls::{laminar, turbulent, viscosity};
use crate::laws::limiter::monotonised_central;
use crate::laws::riemann::{FaceState, hllc};
use crate::media::gas::GasModel;

/// A row's values in the cells of a loop and in the neighbours on both sides.
macro_rules! neighbours {
    ($row:expr, $m:expr) => {
        (&$row[..$m], &$row[1..=$m], &$row[2..$m + 2])
    };
}

/// Half-time values on both sides of each cell, from limited slopes and half a step `half` [s] of the primitive equations.
/// Returns how many cells took their mean because their half state would not have been positive.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn predict(block: &mut Block, half: f64) -> u64 {
    predict_as::<true>(block, half)
}

/// As [`predict`] where nothing is carried along.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn predict_alone(block: &mut Block, half: f64) -> u64 {
    predict_as::<false>(block, half)
}

#[inline(always)]
pub(super) fn predict_as<const CARRIES: bool>(block: &mut Block, half: f64) -> u64 {
    let m = whole(block.n);
    let Block { n, shape, now, also, low, high, .. } = block;
    let n = *n;
    let (spread, per_length) = (&shape.spread[1..=m], &shape.per_length[1..=m]);
    let (gamma, per_rho) = (&also.gamma[1..=m], &also.per_rho[1..=m]);
    let (rho_a, rho, rho_b) = neighbours!(now.rho, m);
    let (u_a, u, u_b) = neighbours!(now.u, m);
    let (p_a, p, p_b) = neighbours!(now.p, m);
    let (burnt_a, burnt, burnt_b) = neighbours!(now.burnt, m);
    let (vapour_a, vapour, vapour_b) = neighbours!(now.vapour, m);
    let (liquid_a, liquid, liquid_b) = neighbours!(now.liquid, m);
    let (rl, rh) = (&mut low.rho[1..=m], &mut high.rho[1..=m]);
    let (ul, uh) = (&mut low.u[1..=m], &mut high.u[1..=m]);
    let (pl, ph) = (&mut low.p[1..=m], &mut high.p[1..=m]);
    let (bl, bh) = (&mut low.burnt[1..=m], &mut high.burnt[1..=m]);
    let (vl, vh) = (&mut low.vapour[1..=m], &mut high.vapour[1..=m]);
    let (ll, lh) = (&mut low.liquid[1..=m], &mut high.liquid[1..=m]);
    let mut means = 0;
    for i in 0..m {
        let (r0, u0, p0) = (rho[i], u[i], p[i]);
        let dr = monotonised_central(r0 - rho_a[i], rho_b[i] - r0);
        let du = monotonised_central(u0 - u_a[i], u_b[i] - u0);
        let dp = monotonised_central(p0 - p_a[i], p_b[i] - p0);
        let h = half * per_length[i];
        let s = du + u0 * spread[i];
        let rho_h = r0 - h * (u0 * dr + r0 * s);
        let u_h = u0 - h * (u0 * du + dp * per_rho[i]);
        let p_h = p0 - h * (u0 * dp + gamma[i] * p0 * s);
        let sound = (rho_h - 0.5 * dr.abs() > 0.0) & (p_h - 0.5 * dp.abs() > 0.0);
        means += u64::from(!sound & (i < n));
        let keep = if sound { 0.5 } else { 0.0 };
        let rho_h = if sound { rho_h } else { r0 };
        let p_h = if sound { p_h } else { p0 };
        rl[i] = rho_h - keep * dr;
        rh[i] = rho_h + keep * dr;
        ul[i] = u_h - keep * du;
        uh[i] = u_h + keep * du;
        pl[i] = p_h - keep * dp;
        ph[i] = p_h + keep * dp;
        if !CARRIES {
            continue;
        }
        let moved = h * u0;
        (bl[i], bh[i]) = carried(burnt_a[i], burnt[i], burnt_b[i], moved);
        (vl[i], vh[i]) = carried(vapour_a[i], vapour[i], vapour_b[i], moved);
        (ll[i], lh[i]) = carried(liquid_a[i], liquid[i], liquid_b[i], moved);
    }
    means
}

/// Half-time values of something carried along, never negative.
#[inline(always)]
fn carried(before: f64, here: f64, behind: f64, moved: f64) -> (f64, f64) {
    let d = monotonised_central(here - before, behind - here);
    let mid = here - moved * d;
    let (a, b) = (mid - 0.5 * d, mid + 0.5 * d);
    (if a > 0.0 { a } else { 0.0 }, if b > 0.0 { b } else { 0.0 })
}

/// Flows through the faces 0 to `n`; those at the block's two ends from what its guests show.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn flows(block: &mut Block) {
    let m = whole(block.n + 1);
    let Block { shape, also, low, high, flow, offset, .. } = block;
    let area = &shape.face_area[..m];
    let (sound_l, sound_r) = (&also.sound[..m], &also.sound[1..=m]);
    let (xi_l, xi_r) = (&also.xi[..m], &also.xi[1..=m]);
    let (e_l, e_r) = (&offset[..m], &offset[1..=m]);
    let (rho_l, rho_r) = (&high.rho[..m], &low.rho[1..=m]);
    let (u_l, u_r) = (&high.u[..m], &low.u[1..=m]);
    let (p_l, p_r) = (&high.p[..m], &low.p[1..=m]);
    let (burnt_l, burnt_r) = (&high.burnt[..m], &low.burnt[1..=m]);
    let (vapour_l, vapour_r) = (&high.vapour[..m], &low.vapour[1..=m]);
    let (liquid_l, liquid_r) = (&high.liquid[..m], &low.liquid[1..=m]);
    let (mass, momentum) = (&mut flow.mass[..m], &mut flow.momentum[..m]);
    let (energy, per_xi) = (&mut flow.energy[..m], &mut flow.energy_per_xi[..m]);
    let (burnt, vapour, liquid) = (&mut flow.burnt[..m], &mut flow.vapour[..m], &mut flow.liquid[..m]);
    let (behind, before) = (&mut flow.behind[..m], &mut flow.before[..m]);
    for k in 0..m {
        let l = FaceState { rho: rho_l[k], u: u_l[k], p: p_l[k], sound: sound_l[k] };
        let r = FaceState { rho: rho_r[k], u: u_r[k], p: p_r[k], sound: sound_r[k] };
        let f = hllc(l, r);
        let (w, x) = (area[k] * f.mass, area[k] * f.energy_per_xi);
        mass[k] = w;
        momentum[k] = area[k] * f.momentum;
        energy[k] = area[k] * f.energy_rest;
        per_xi[k] = x;
        let onwards = w >= 0.0;
        burnt[k] = w * upwind(onwards, burnt_l[k], burnt_r[k]);
        vapour[k] = w * upwind(onwards, vapour_l[k], vapour_r[k]);
        liquid[k] = w * upwind(onwards, liquid_l[k], liquid_r[k]);
        // What the cells on both sides count differently, for the one downstream.
        let d_xi = xi_l[k] - xi_r[k];
        let gap = d_xi * x + (e_l[k] - e_r[k]) * w;
        // One `gamma` on both sides: what is left of the offsets is round-off.
        let gap = if d_xi.abs() > 0.0 { gap } else { 0.0 };
        let on = if onwards { gap } else { 0.0 };
        behind[k] = on;
        before[k] = gap - on;
    }
}

/// As [`flows`] for gas of one `gamma` that carries nothing along: its cells count alike. Written out again: of one loop with the
/// rest left out at compile time the compiler takes fewer cells at once.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn flows_alone(block: &mut Block) {
    let m = whole(block.n + 1);
    let Block { shape, also, low, high, flow, .. } = block;
    let area = &shape.face_area[..m];
    let (sound_l, sound_r) = (&also.sound[..m], &also.sound[1..=m]);
    let (rho_l, rho_r) = (&high.rho[..m], &low.rho[1..=m]);
    let (u_l, u_r) = (&high.u[..m], &low.u[1..=m]);
    let (p_l, p_r) = (&high.p[..m], &low.p[1..=m]);
    let (mass, momentum) = (&mut flow.mass[..m], &mut flow.momentum[..m]);
    let (energy, per_xi) = (&mut flow.energy[..m], &mut flow.energy_per_xi[..m]);
    for k in 0..m {
        let l = FaceState { rho: rho_l[k], u: u_l[k], p: p_l[k], sound: sound_l[k] };
        let r = FaceState { rho: rho_r[k], u: u_r[k], p: p_r[k], sound: sound_r[k] };
        let f = hllc(l, r);
        mass[k] = area[k] * f.mass;
        momentum[k] = area[k] * f.momentum;
        energy[k] = area[k] * f.energy_rest;
        per_xi[k] = area[k] * f.energy_per_xi;
    }
}

/// What flows on is of the left or of the right; both are read, so that there is no branch.
#[inline(always)]
fn upwind(onwards: bool, left: f64, right: f64) -> f64 {
    if onwards { left } else { right }
}

/// Fastest `|u| + c` [m/s] of a block, and largest over a cell's length [1/s]; not a number if a cell left physical bounds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fastest {
    /// Fastest wave [m/s].
    pub speed: f64,
    /// Fastest wave over the length of its cell [1/s].
    pub rate: f64,
}

/// New state after `dt` [s] from the flows, the push of the tapered wall, the walls' drag and heat, the loss of bends, and the share
/// `paid` [-] of the energy that is owed.
///
/// `drag = f |u|/(2D)`, implicit; heat with the conductance `gain = drag rho cp` (Reynolds' analogy), implicit in the gas's
/// temperature: never past the wall's in one step. Both act on the state before the step's change.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn renew(block: &mut Block, gas: &GasModel, dt: f64, paid: f64) -> Fastest {
    renew_as::<true, true>(block, gas, dt, paid)
}

/// As [`renew`] for gas of one `gamma`.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn renew_one_gamma(block: &mut Block, gas: &GasModel, dt: f64, paid: f64) -> Fastest {
    renew_as::<true, false>(block, gas, dt, paid)
}

/// As [`renew_one_gamma`] between smooth, adiabatic walls where nothing is carried along.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn renew_alone(block: &mut Block, gas: &GasModel, dt: f64) -> Fastest {
    renew_as::<false, false>(block, gas, dt, 0.0)
}

#[inline(always)]
pub(super) fn renew_as<const CARRIES: bool, const VARIES: bool>(
    block: &mut Block,
    gas: &GasModel,
    dt: f64,
    paid: f64,
) -> Fastest {
    let m = whole(block.n);
    let gas = *gas;
    let Block { n, shape, now, also, low, high, flow, owed, .. } = block;
    let n = *n;
    let (per_volume, per_length, rise) = (&shape.per_volume[1..=m], &shape.per_length[1..=m], &shape.rise[1..=m]);
    let (k_turbulent, k_laminar) = (&shape.turbulent[1..=m], &shape.laminar[1..=m]);
    let (drag_on, heat_on, loss) = (&shape.drag[1..=m], &shape.heat[1..=m], &shape.loss[1..=m]);
    let wall_temperature = &shape.wall_temperature[1..=m];
    let (p_low, p_high) = (&low.p[1..=m], &high.p[1..=m]);
    let (mass_a, mass_b) = through(&flow.mass, m);
    let (momentum_a, momentum_b) = through(&flow.momentum, m);
    let (energy_a, energy_b) = through(&flow.energy, m);
    let (per_xi_a, per_xi_b) = through(&flow.energy_per_xi, m);
    let (burnt_a, burnt_b) = through(&flow.burnt, m);
    let (vapour_a, vapour_b) = through(&flow.vapour, m);
    let (liquid_a, liquid_b) = through(&flow.liquid, m);
    let (behind, before) = (&flow.behind[..m], &flow.before[1..=m]);
    let (rho, u, p) = (&mut now.rho[1..=m], &mut now.u[1..=m], &mut now.p[1..=m]);
    let (burnt, vapour, liquid) = (&mut now.burnt[1..=m], &mut now.vapour[1..=m], &mut now.liquid[1..=m]);
    let (gamma, xi, per_xi) = (&mut also.gamma[1..=m], &mut also.xi[1..=m], &mut also.per_xi[1..=m]);
    let (per_rho, r, t, sound) =
        (&mut also.per_rho[1..=m], &mut also.r[1..=m], &mut also.t[1..=m], &mut also.sound[1..=m]);
    let owed = &mut owed[1..=m];
    // As whole numbers the positive doubles have the same order, and not a number is above them all.
    let (mut fastest, mut rate) = (0_i64, 0_i64);
    for i in 0..m {
        let w = dt * per_volume[i];
        let (rho_0, u_0, p_0, xi_0) = (rho[i], u[i], p[i], xi[i]);
        let push = 0.5 * (p_low[i] + p_high[i]) * rise[i];
        let mass = rho_0 + w * (mass_a[i] - mass_b[i]);
        let momentum = rho_0 * u_0 + w * (momentum_a[i] - momentum_b[i] + push);
        let (inverse, u_n, heat, due) = if CARRIES {
            let speed = u_0.abs();
            let nu = viscosity(t[i]) * per_rho[i];
            let (a, b) = (turbulent(k_turbulent[i], speed, nu), laminar(k_laminar[i], nu));
            let friction = if a > b { a } else { b };
            let drag = 1.0 + dt * (drag_on[i] * friction + 0.5 * loss[i] * speed);
            let gain = heat_on[i] * dt * friction * (xi_0 + 1.0);
            let slowed = xi_0 + gain;
            let quotient = 1.0 / (mass * slowed * drag);
            let heat = gain * (mass * drag * quotient) * (rho_0 * r[i] * wall_temperature[i] - p_0);
            let due = owed[i] + w * (behind[i] + before[i]);
            (slowed * drag * quotient, momentum * (slowed * quotient), heat, due)
        } else {
            let inverse = 1.0 / mass;
            (inverse, momentum * inverse, 0.0, 0.0)
        };
        // `xi p + rho u^2/2` changes by what enters; as a change of pressure, `xi` and one over it need not be exact to each other.
        let rest = 0.5 * (rho_0 * u_0 * u_0 - mass * u_n * u_n) + w * (energy_a[i] - energy_b[i]) + paid * due;
        let p_n = p_0 + w * (per_xi_a[i] - per_xi_b[i]) + heat + per_xi[i] * rest;
        let rt = p_n * inverse;
        let mut gamma_n = gamma[i];
        if CARRIES {
            let y_b = (rho_0 * burnt[i] + w * (burnt_a[i] - burnt_b[i])) * inverse;
            let y_v = (rho_0 * vapour[i] + w * (vapour_a[i] - vapour_b[i])) * inverse;
            let y_l = (rho_0 * liquid[i] + w * (liquid_a[i] - liquid_b[i])) * inverse;
            let (r_n, t_n, xi_n, per_xi_n) = if VARIES {
                let r_n = gas.r(y_b, y_v);
                let per_r = 1.0 / r_n;
                let t_n = rt * per_r;
                let xi_n = gas.cp_without_branch(t_n, y_b, y_v) * per_r - 1.0;
                (r_n, t_n, xi_n, 1.0 / xi_n)
            } else {
                (r[i], rt / r[i], xi_0, per_xi[i])
            };
            gamma_n = 1.0 + per_xi_n;
            burnt[i] = y_b;
            vapour[i] = y_v;
            liquid[i] = y_l;
            gamma[i] = gamma_n;
            xi[i] = xi_n;
            per_xi[i] = per_xi_n;
            r[i] = r_n;
            t[i] = t_n;
            // A cell moves to the tangent of its new state.
            owed[i] = due - paid * due + (xi_0 - xi_n) * p_n;
        }
        let sound_n = (gamma_n * rt).sqrt();
        let wave = u_n.abs() + sound_n;
        let wave = if (mass > 0.0) & (p_n > 0.0) { wave } else { f64::NAN };
        // A guest may be anything.
        let wave = if i < n { wave } else { 0.0 };
        rho[i] = mass;
        u[i] = u_n;
        p[i] = p_n;
        per_rho[i] = inverse;
        sound[i] = sound_n;
        fastest = larger(fastest, wave);
        rate = larger(rate, wave * per_length[i]);
    }
    Fastest { speed: f64::from_bits(fastest.cast_unsigned()), rate: f64::from_bits(rate.cast_unsigned()) }
}

/// The larger of a positive double, given by its bits, and the magnitude of another; not a number is the largest.
#[inline(always)]
fn larger(bits: i64, value: f64) -> i64 {
    let other = value.abs().to_bits().cast_signed();
    if other > bits { other } else { bits }
}

/// What enters the cells 1 to `m` by their near faces and leaves by their far ones.
#[inline(always)]
fn through(row: &Row, m: usize) -> (&[f64], &[f64]) {
    (&row[..m], &row[1..=m])
}

/// Takes the `e0` of the new state; what a cell's energy changes by goes into its account.
#[multiversion(targets("x86_64+avx512f+avx512vl+avx512dq+avx2", "x86_64+avx2", "x86_64+sse4.2"))]
pub fn renew_offsets(block: &mut Block, gas: &GasModel) {
    let m = whole(block.n);
    let gas = *gas;
    let Block { now, also, owed, offset, .. } = block;
    let (rho, burnt, vapour) = (&now.rho[1..=m], &now.burnt[1..=m], &now.vapour[1..=m]);
    let (xi, r, t) = (&also.xi[1..=m], &also.r[1..=m], &also.t[1..=m]);
    let (owed, offset) = (&mut owed[1..=m], &mut offset[1..=m]);
    for i in 0..m {
        // `cp = (xi + 1) R`, and `e - xi R T = h - (xi + 1) R T`.
        let cp = (xi[i] + 1.0) * r[i];
        let e0 = gas.enthalpy_without_branch(t[i], burnt[i], vapour[i], cp) - cp * t[i];
        owed[i] += rho[i] * (offset[i] - e0);
        offset[i] = e0;
    }
}
