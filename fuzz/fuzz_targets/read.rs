//! The probe with its archives and encodings, on any bytes.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::hold::insist("read", bytes));
