//! The reader of the format `surveillance`, on any bytes.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::hold::insist("surveillance", bytes));
