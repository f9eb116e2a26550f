//! The built program from outside: exit codes, streams, files, interruption.
#![allow(clippy::unwrap_used)]

mod bad_input;
mod check;
mod compare;
mod cycle;
mod documents;
mod help;
mod init;
mod map;
mod program;
mod rejet;
mod snap;
mod streams;
mod supply;
mod surroundings;
mod units;
