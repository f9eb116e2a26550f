//! The set-up file: what is read, what is refused, and how the refusal reads.

mod samples;
