//! Command-line program; see the library crate.

fn main() {}
