//! The set-up file: from text to a validated [`crate::hardware::machine::Machine`].

pub mod targets;
