//! Energy that the double flux loses or makes where `gamma` varies, kept in an account per cell and paid back slowly.
//!
//! In a step, cell `i` counts the energy of its gas as `rho e = xi_i p + rho e0_i`, the tangent of the true internal
//! energy `e(T, y)` at its own state (`e0 = e - xi R T`). Two cells that part at a face count different energies for
//! what crosses it,
//!
//! ```text
//! (xi_l - xi_r) X + (e0_l - e0_r) m        X: energy flux per xi, m: mass flux
//! ```
//!
//! and at the end of the step a cell moves to a new tangent, which changes its energy by `(xi_new - xi_old) p + rho
//! (e0_new - e0_old)`. Neither is energy that anything gave: where hot and cold gas, or burnt gas and air, mix in a
//! cell at constant pressure and volume, the double flux keeps the pressure and lets the energy go. Both go into the
//! account of the cell (of the one downstream, at a face), so that energy and account together are conserved to
//! round-off. `e0` is renewed every [`STEPS`] steps; what it lags by is in the account until then. The account is paid
//! into the cell as heat over [`RELEASE_TIME`]; in a periodic flow a cycle thus pays back all that it lost.
//!
//! The account stays where it was made while the gas moves on, and is paid back so slowly that the wave it sends is
//! small: paid at once, it is the false pressure of the conservative scheme. A gas of constant `gamma` owes nothing but
//! round-off.
//!
//! Source: double flux with its true energy, Billet & Abgrall, Comput. Fluids 32 (2003) 1361 (from memory); the account
//! is the project's own. Not modelled: that the account moves with the gas.

use multiversion::multiversion;

use super::arrays::{Conserved, Primitives};
use crate::media::gas::GasModel;

/// Time in which an account falls to 1/e [s]: a wave of less than 10 Pa from a sudden front of air at 300 K and burnt
/// gas at 1200 K, and a few cycles of a machine.
pub const RELEASE_TIME: f64 = 0.05;

/// Steps from one renewal of `e0` to the next: gas moves less than a cell in them below a Mach number of 0.45.
pub const STEPS: u32 = 4;

/// The accounts of a duct.
#[derive(Debug, Clone, PartialEq)]
pub struct OwedEnergy {
    /// What each cell is owed [J/m3].
    owed: Vec<f64>,
    /// Steps since `e0` was renewed.
    steps: u32,
    /// `e0` of each cell [J/kg].
    offset: Vec<f64>,
    /// `xi` of each cell in this step [-].
    xi: Vec<f64>,
    /// What goes through each face into the account of the cell behind it, and of the cell before it [W].
    behind: Vec<f64>,
    before: Vec<f64>,
}

impl OwedEnergy {
    /// Empty accounts of gas in the state `now`.
    #[must_use]
    pub fn new(gas: &GasModel, now: &Primitives, gamma: &[f64]) -> Self {
        let n = gamma.len();
        let zeros = |n| vec![0.0; n];
        let (owed, behind, before) = (zeros(n), zeros(n + 1), zeros(n + 1));
        let mut new = Self { owed, steps: 0, offset: zeros(n), xi: zeros(n), behind, before };
        reciprocal(gamma, &mut new.xi);
        renew(gas, (&now.rho, &now.p, &now.burnt, &now.vapour), &new.xi, &mut new.offset, &mut new.owed);
        new.owed.fill(0.0);
        new
    }

    /// What each cell is owed [J/m3] in the state `now`.
    #[must_use]
    pub fn owed(&self, gas: &GasModel, now: &Primitives) -> Vec<f64> {
        let (mut owed, mut offset) = (self.owed.clone(), self.offset.clone());
        renew(gas, (&now.rho, &now.p, &now.burnt, &now.vapour), &self.xi, &mut offset, &mut owed);
        owed
    }

    /// Owes each cell so much more [J/m3].
    pub fn add(&mut self, more: &[f64]) {
        self.owed.iter_mut().zip(more).for_each(|(owed, more)| *owed += more);
    }

    /// Takes up what the cells at each inner face count differently, before the state of the cells changes.
    pub fn cross(&mut self, gamma: &[f64], flux: &Conserved) {
        let n = gamma.len();
        differences(
            (&self.xi[..n - 1], &self.offset[..n - 1]),
            (&self.xi[1..], &self.offset[1..]),
            (&flux.energy_per_xi[1..n], &flux.mass[1..n]),
            &mut self.behind[1..n],
            &mut self.before[1..n],
        );
    }

    /// Takes up what the far side of a step of area at face `k` receives beyond the near side's flux, at the same total
    /// enthalpy: energy [W], and energy per `xi` [W].
    pub fn cross_step(&mut self, k: usize, mass: f64, energy: f64, per_xi: f64) {
        let beyond = energy + self.xi[k] * per_xi;
        if mass >= 0.0 { self.behind[k] -= beyond } else { self.before[k] -= beyond }
    }

    /// Takes up what the gas that crosses an end truly carries beyond what the end cell counts.
    pub fn cross_end(&mut self, gas: &GasModel, far: bool, gamma: &[f64], flux: &Conserved) {
        let (k, i) = if far { (gamma.len(), gamma.len() - 1) } else { (0, 0) };
        let (m, x) = (flux.mass[k], flux.energy_per_xi[k]);
        let mut beyond = 0.0;
        if m.abs() > 0.0 {
            let (b, v) = (flux.burnt[k] / m, flux.vapour[k] / m);
            let t = x / (m * gas.r(b, v));
            if (gas.gamma(t, b, v) - gamma[i]).abs() > 0.0 {
                beyond = m * (gas.internal_energy(t, b, v) - self.offset[i]) - self.xi[i] * x;
            }
        }
        if far { self.before[k] = -beyond } else { self.behind[k] = beyond }
    }

    /// Takes up what gas put into cell `i` [kg, J, kg, kg] truly carries beyond what the cell counts; `per_volume` is
    /// one over the cell's volume [1/m3].
    pub fn put(&mut self, gas: &GasModel, i: usize, per_volume: f64, (mass, rt, burnt, vapour): (f64, f64, f64, f64)) {
        if mass > 0.0 {
            let (b, v) = (burnt / mass, vapour / mass);
            let h = gas.enthalpy(rt / (mass * gas.r(b, v)), b, v);
            self.owed[i] += per_volume * (mass * (h - self.offset[i]) - (self.xi[i] + 1.0) * rt);
        }
    }

    /// Pays a share of the accounts into the `energy` of the cells [J/m3].
    pub fn pay(&mut self, dt: f64, per_volume: &[f64], energy: &mut [f64]) {
        let n = per_volume.len();
        let share = dt / (RELEASE_TIME + dt);
        pay(dt, share, per_volume, (&self.behind[..n], &self.before[1..]), &mut self.owed, energy);
    }

    /// Moves every cell to the tangent of its new state.
    pub fn follow(&mut self, gas: &GasModel, now: &Primitives, gamma: &[f64]) {
        turn(gamma, &now.p, &mut self.xi, &mut self.owed);
        self.steps += 1;
        if self.steps >= STEPS {
            self.steps = 0;
            let gases = (&now.rho[..], &now.p[..], &now.burnt[..], &now.vapour[..]);
            renew(gas, gases, &self.xi, &mut self.offset, &mut self.owed);
        }
    }
}

/// `xi = 1/(gamma - 1)`.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn reciprocal(gamma: &[f64], xi: &mut [f64]) {
    let n = gamma.len();
    let xi = &mut xi[..n];
    for i in 0..n {
        xi[i] = 1.0 / (gamma[i] - 1.0);
    }
}

/// What the cells on both sides of each face count differently, for the one downstream.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn differences(
    (xi_l, e_l): (&[f64], &[f64]),
    (xi_r, e_r): (&[f64], &[f64]),
    (per_xi, mass): (&[f64], &[f64]),
    behind: &mut [f64],
    before: &mut [f64],
) {
    let n = mass.len();
    let (xi_l, e_l, xi_r, e_r, per_xi) = (&xi_l[..n], &e_l[..n], &xi_r[..n], &e_r[..n], &per_xi[..n]);
    let (behind, before) = (&mut behind[..n], &mut before[..n]);
    for k in 0..n {
        let (d_xi, m) = (xi_l[k] - xi_r[k], mass[k]);
        let gap = d_xi * per_xi[k] + (e_l[k] - e_r[k]) * m;
        // One `gamma` on both sides: what is left of the offsets is round-off.
        let gap = if d_xi.abs() > 0.0 { gap } else { 0.0 };
        let on = if m >= 0.0 { gap } else { 0.0 };
        behind[k] = on;
        before[k] = gap - on;
    }
}

#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn pay(dt: f64, share: f64, per_volume: &[f64], (near, far): (&[f64], &[f64]), owed: &mut [f64], energy: &mut [f64]) {
    let n = per_volume.len();
    let (near, far, owed, energy) = (&near[..n], &far[..n], &mut owed[..n], &mut energy[..n]);
    for i in 0..n {
        let all = owed[i] + dt * per_volume[i] * (near[i] + far[i]);
        let paid = share * all;
        owed[i] = all - paid;
        energy[i] += paid;
    }
}

/// Takes the `xi` of the new state; what a cell's energy changes by goes into its account.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn turn(gamma: &[f64], p: &[f64], xi: &mut [f64], owed: &mut [f64]) {
    let n = gamma.len();
    let (p, xi, owed) = (&p[..n], &mut xi[..n], &mut owed[..n]);
    for i in 0..n {
        let new = 1.0 / (gamma[i] - 1.0);
        owed[i] += (xi[i] - new) * p[i];
        xi[i] = new;
    }
}

/// Takes the `e0` of the new state; what a cell's energy changes by goes into its account.
#[multiversion(targets("x86_64+avx2", "x86_64+sse4.2"))]
fn renew(
    gas: &GasModel,
    (rho, p, burnt, vapour): (&[f64], &[f64], &[f64], &[f64]),
    xi: &[f64],
    offset: &mut [f64],
    owed: &mut [f64],
) {
    let n = rho.len();
    let gas = *gas;
    let (p, burnt, vapour, xi) = (&p[..n], &burnt[..n], &vapour[..n], &xi[..n]);
    let (offset, owed) = (&mut offset[..n], &mut owed[..n]);
    for i in 0..n {
        let (b, v) = (burnt[i], vapour[i]);
        let (r, rt) = (gas.r(b, v), p[i] / rho[i]);
        let whole = xi[i] + 1.0;
        // `cp = (xi + 1) R`, and `e - xi R T = h - (xi + 1) R T`.
        let e0 = gas.enthalpy_at(rt / r, b, v, whole * r) - whole * rt;
        owed[i] += rho[i] * (offset[i] - e0);
        offset[i] = e0;
    }
}
