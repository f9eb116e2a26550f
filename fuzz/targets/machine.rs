//! What `checks/machine.rs` promises, for inputs that the fuzzer makes up.
#![no_main]

#[path = "../checks/machine.rs"]
mod machine;

libfuzzer_sys::fuzz_target!(|input: &[u8]| {
    machine::check(input);
});
