//! The gas solver alone: ducts between closed, open and prescribed ends, and the face between two sides.
//!
//! Order of trust: identities (rest, mirror, conservation), exact solutions (Riemann problems, waves), order of
//! convergence, published loss and flow coefficients.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

#[path = "checks.rs"]
mod gas_dynamics;
