//! The reader of the format `csv`, on any bytes.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::hold::insist("csv", bytes));
