//! Exact solutions of one-dimensional gas dynamics, for tests, benches and the gallery of pictures.
//!
//! A perfect gas of constant `gamma`, no heat conduction, no viscosity but where a file says so. Nothing that simulates an
//! engine uses these; they are what it is measured against. An argument outside a solution's range gives an error, never
//! a number.

pub mod blow_down;
pub mod branch;
pub mod error;
pub mod fanno;
pub mod isentropic;
pub mod normal_shock;
pub mod nozzle_flow;
pub mod nozzle_one;
pub mod rayleigh;
pub mod resonator;
pub mod riemann;
pub mod simple_wave;
pub mod state;
pub mod tuning;
