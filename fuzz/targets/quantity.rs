//! What `checks/quantity.rs` promises, for inputs that the fuzzer makes up.
#![no_main]

#[path = "../checks/quantity.rs"]
mod quantity;

libfuzzer_sys::fuzz_target!(|input: &[u8]| {
    quantity::check(input);
});
