//! The fit against outside truth.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "measured values must be seen in the test's output"
)]

mod built;
mod calibration;
mod flown;
mod lightplane;
mod told;
