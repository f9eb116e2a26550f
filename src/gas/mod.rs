//! The one-dimensional gas solver: ducts, and the faces and ends between and around them.
//!
//! Quasi-one-dimensional Euler equations in a duct of area `A(x)`, with wall friction and heat:
//!
//! ```text
//! d(rho A)/dt   + d(rho u A)/dx           = sources
//! d(rho u A)/dt + d((rho u^2 + p) A)/dx   = p dA/dx - (f/2D) rho u |u| A
//! d(E A)/dt     + d((E + p) u A)/dx       = (f/8) rho |u| cp (T_w - T) (4/D) A + sources
//! d(rho y A)/dt + d(rho u y A)/dx         = sources          y: burnt gas, fuel vapour, liquid fuel
//! ```
//!
//! `E = xi p + rho u^2/2` with `xi = 1/(gamma - 1)` held fixed in each cell over a step (double flux), so that a
//! contact between gases of different `gamma` keeps its pressure. Mass, momentum and every species are conserved to
//! round-off. What energy the double flux loses where `gamma` varies is kept in accounts and paid back
//! ([`owed_energy`]). Liquid fuel moves with the gas, takes no volume and exerts no pressure.
//!
//! Source of the double flux: Abgrall & Karni, J. Comput. Phys. 169 (2001) 594 (from memory).

pub mod block;
pub mod duct_cells;
pub mod exchange;
pub mod face;
pub mod grid;
pub mod kernel;
#[cfg(test)]
mod kernel_bits;
pub mod lone_duct;
pub mod owed_energy;
pub mod plenum;
pub mod step;
pub mod trace;
pub mod walls;
