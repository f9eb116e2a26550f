//! Bracketed roots, powers, monotone tables, series drawn on, and a wrapper for ordinary differential equations.

pub mod ode;
pub mod parabola;
pub mod power;
pub mod root;
pub mod table;
