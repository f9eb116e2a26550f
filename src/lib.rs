//! `bellmouth`: what the air and the fuel do in a slide carburettor, computed through the crank cycle.

// Units stand in brackets in this project's documentation: a length [m] is no link.
#![allow(rustdoc::broken_intra_doc_links)]

pub mod cli;
pub mod cylinder;
pub mod diagnostics;
pub mod exact;
pub mod gas;
pub mod hardware;
pub mod laws;
pub mod media;
pub mod metering;
pub mod numeric;
pub mod plot;
pub mod report;
pub mod rig;
pub mod setup;
pub mod study;
pub mod units;
