//! The running machine: ducts, faces, circuits and cylinder stepped together, cycle after cycle.

mod accounts;
pub mod air_side;
pub mod books;
pub mod closed_part;
pub mod cloud;
pub mod converge;
mod creep;
pub mod error;
mod exchange;
pub mod exhaust_side;
pub mod intake;
mod loops;
pub mod machine_state;
pub mod piston_motion;
pub mod record;
mod refit;
pub mod settings;
mod silencing;
pub mod step;
pub mod transient;
pub mod vacuum_piston;
mod valve_events;
pub mod warm_start;
