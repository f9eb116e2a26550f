//! The fuel side: columns of fuel with inertia, emulsion chambers, the main and the pilot circuit.

pub mod chamber;
pub mod column;
pub mod main_circuit;
pub mod pilot_circuit;
pub mod surroundings;
pub mod well;
