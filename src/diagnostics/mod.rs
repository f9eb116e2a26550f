//! What is wrong, where, and what to do about it: structured problems, and their drawing as text.

pub mod clean;
pub mod fold;
pub mod problem;
pub mod render;
pub mod source;

pub use problem::{Problem, Report, Severity, Warned};
pub use render::{Style, render};
pub use source::{Place, Source};
