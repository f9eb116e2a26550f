//! `bellmouth`: what the air and the fuel do in a slide carburettor, computed through the crank cycle.

pub mod hardware;
pub mod media;
pub mod plot;
pub mod report;
pub mod setup;
pub mod study;
