//! The gas solver alone: ducts between closed, open and prescribed ends, and the face between two sides.
//!
//! Order of trust: identities (rest, mirror, conservation), exact solutions (Riemann problems, waves), order of
//! convergence, published loss and flow coefficients.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

mod bench;
mod contact;
mod face;
mod order;
mod rest;
mod shock_tubes;

/// Says what was checked, what it stands on and what came out.
fn found(source: &str, figure: &str) {
    println!("{source}: {figure}");
}

/// Fails unless `got` is within the share `tolerance` of `want`.
#[track_caller]
fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance * want.abs(), "{what}: got {got}, want {want} within {tolerance}");
}
