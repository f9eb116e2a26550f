//! Handbook checks: every law against a published number, an exact relation or an independent computation.
//!
//! Each check prints the source it stands on. "Computed" means an independent computation (Python, other code) of a
//! published relation.
#![allow(missing_docs, clippy::print_stdout, clippy::unwrap_used)]

#[path = "checks.rs"]
mod handbook;
