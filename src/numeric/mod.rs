//! Bracketed roots, powers, monotone tables, and a wrapper for ordinary differential equations.

pub mod ode;
pub mod power;
pub mod root;
pub mod table;
