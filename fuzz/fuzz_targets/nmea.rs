//! The reader of the format `nmea`, on any bytes.

#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| hostile::hold::insist("nmea", bytes));
