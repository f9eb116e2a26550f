//! Bracketed roots, monotone tables, and a wrapper for ordinary differential equations.

pub mod ode;
pub mod root;
pub mod table;
