//! The set-up file: what is read, what is refused, and how the refusal reads.

mod bad;
mod described;
mod ducts;
mod front;
mod hostile;
mod mouth;
mod paths;
mod quantities;
mod samples;
mod throttle;
mod values;
