//! What the benches share; each of them uses a part of it.
#![allow(dead_code, clippy::print_stdout)]

pub mod computer;
pub mod demo;
pub mod recorded;
pub mod timing;
