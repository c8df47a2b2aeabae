#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| handback_fuzz::trace::run(bytes));
