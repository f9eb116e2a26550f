//! The fuel side: columns of fuel with inertia, emulsion chambers, main, pilot and starter circuit, accelerator pump.

pub mod accelerator_pump;
pub mod chamber;
pub mod column;
pub mod gas_balance;
pub mod main_circuit;
pub mod pilot_circuit;
pub mod starter_circuit;
pub mod surroundings;
pub mod well;
