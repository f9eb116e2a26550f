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

use super::block::Derived;
use super::exchange::{EndFlux, Exchange};
use crate::media::gas::GasModel;

/// Time in which an account falls to 1/e [s]: a wave of less than 10 Pa from a sudden front of air at 300 K and burnt
/// gas at 1200 K, and a few cycles of a machine.
pub const RELEASE_TIME: f64 = 0.05;

/// Steps from one renewal of `e0` to the next: gas moves less than a cell in them below a Mach number of 0.45.
pub const STEPS: u32 = 4;

/// Share of an account that is paid in a step of `dt` [s].
#[must_use]
pub fn share_paid(dt: f64) -> f64 {
    dt / (RELEASE_TIME + dt)
}

/// What the end cell `i` with the offset `e0` [J/kg] does not count of what the gas that crosses its end truly carries [W, along +x].
#[must_use]
pub fn beyond(gas: &GasModel, cell: &Derived, e0: f64, i: usize, end: &EndFlux) -> f64 {
    let (m, x) = (end.mass, end.energy_per_xi);
    if m.abs() <= 0.0 {
        return 0.0;
    }
    let (b, v) = (end.burnt / m, end.vapour / m);
    let r = gas.r(b, v);
    let t = x / (m * r);
    let cp = gas.cp(t, b, v);
    // One `gamma` on both sides: what is left of the offsets is round-off.
    if (cp * (1.0 / r) - 1.0 - cell.xi[i]).abs() > 0.0 {
        m * (gas.enthalpy_at(t, b, v, cp) - r * t - e0) - cell.xi[i] * x
    } else {
        0.0
    }
}

/// What the cell `i` with the offset `e0` [J/kg] does not count of what the gas put into it truly carries [J].
#[must_use]
pub fn put(gas: &GasModel, cell: &Derived, e0: f64, i: usize, x: &Exchange) -> f64 {
    if x.gas_in <= 0.0 {
        return 0.0;
    }
    let (b, v) = (x.burnt_in / x.gas_in, x.vapour_in / x.gas_in);
    let h = gas.enthalpy(x.gas_in_rt / (x.gas_in * gas.r(b, v)), b, v);
    x.gas_in * (h - e0) - (cell.xi[i] + 1.0) * x.gas_in_rt
}

/// One side of a step of area: its block's cells, the offset [J/kg] and the place of the cell, what flows through its face.
pub type StepSide<'a> = (&'a Derived, f64, usize, &'a EndFlux);

/// What the cells `near` and `far` on both sides of a step of area count differently [W]: the flow has one total enthalpy, and the step's
/// wall pushes, but does no work.
#[must_use]
pub fn parted((near, e_near, i, left): StepSide<'_>, (far, e_far, k, right): StepSide<'_>) -> f64 {
    let counted =
        left.energy_rest - right.energy_rest + near.xi[i] * left.energy_per_xi - far.xi[k] * right.energy_per_xi;
    let same = (near.xi[i] - far.xi[k]).abs() <= 0.0;
    if same { counted } else { counted + (e_near - e_far) * left.mass }
}
