//! Formulas at one point or one face: flow through holes, two-phase outlets, losses, burning, heat, friction.
//!
//! A law takes numbers in SI units and knows no part of the machine.

pub mod annulus;
pub mod combustion;
pub mod crushed_tube;
pub mod emulsion;
pub mod flame;
pub mod free_jet;
pub mod friction;
pub mod heat_transfer;
pub mod jet;
pub mod limiter;
pub mod loss;
pub mod nozzle;
pub mod orifice;
pub mod pipe_flow;
pub mod power_correction;
pub mod riemann;
pub mod road_load;
pub mod stream;
pub mod valve_flow;
pub mod wall_film;
pub mod wiebe;
