//! The single-zone cylinder: masses, energy, burning, wall heat, friction.

pub mod burn;
pub mod charge;
pub mod combustion_chamber;
pub mod mixture;
