//! The fit against outside truth.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "measured values must be seen in the test's output"
)]

mod built;
mod calibration;
mod flights;
mod flown;
mod library;
mod lightplane;
mod told;
