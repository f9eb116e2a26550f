//! The cylinder, its burning and its torque: exact limits, published relations, facts of the trade.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

#[path = "checks.rs"]
mod cylinder;
