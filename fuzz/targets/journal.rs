//! What `checks/journal.rs` promises, for inputs that the fuzzer makes up.
#![no_main]

#[path = "../checks/journal.rs"]
mod journal;

libfuzzer_sys::fuzz_target!(|input: &[u8]| {
    journal::check(input);
});
