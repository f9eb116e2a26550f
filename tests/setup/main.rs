//! The set-up file: what is read, what is refused, and how the refusal reads.

mod bad;
mod bowl;
mod described;
mod ducts;
mod flow_tests;
mod front;
mod fuels;
mod hostile;
mod mouth;
mod on_hand;
mod paths;
mod quantities;
mod road;
mod samples;
mod throttle;
mod values;
