//! Pictures, tables and files: drawn from synthetic results, read back and looked at.

mod pictures;
mod synthetic;
