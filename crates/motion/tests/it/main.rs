//! `motion` against the outside. A table of contents: a new check goes into the module of its subject.

#![allow(clippy::print_stdout, reason = "skipped checks and achieved figures are printed")]

/// Sigmas against errors on drawn lessons.
mod calibration;
/// A lesson in closed form.
mod closed_form;
/// Flights of a foreign flight model with exact truth (checks/flown).
mod flown;
/// Memory held on the way.
mod memory;
/// Published six-degree-of-freedom trajectories: velocity in, bank out (checks/nesc); wind from three headings.
mod published;
/// Recorded flights whose attitude is not shown to the reconstruction.
mod recorded;
/// Delays, biases and mounting found; recordings without positions.
mod sensors;
/// The smoother against motions in closed form.
mod smoothing;
