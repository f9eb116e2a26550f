//! What `checks/setup.rs` promises, for inputs that the fuzzer makes up.
#![no_main]

#[path = "../checks/setup.rs"]
mod setup;

libfuzzer_sys::fuzz_target!(|input: &[u8]| {
    setup::check(input);
});
