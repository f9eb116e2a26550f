//! Pictures, tables and files: drawn from synthetic results and read back.

#![allow(clippy::unwrap_used)]

mod compare;
mod comparison;
mod files;
mod not_finite;
mod pictures;
mod road;
mod sink;
mod spots;
mod steps;
mod synthetic;
mod text;
mod wording;
