//! Trade checks: the whole machine against what the trade measures on a known engine.
//!
//! The facts are common practice, no published source, unless one is named beside the check. The known engine is
//! `single_650.toml`, written down before anything was computed from it. Facts that set a default are calibrations and
//! say so; every other fact is a prediction. A fact that the program misses is printed with its figure, and the check
//! asserts the weaker thing that holds.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

#[path = "checks.rs"]
mod trade;
