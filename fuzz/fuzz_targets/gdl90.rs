//! The reader of the format `gdl90`, on any bytes.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::hold::insist("gdl90", bytes));
