//! `assess` against the outside. A table of contents: a new check goes into the module of its subject.

#![allow(clippy::print_stdout, reason = "skipped checks and achieved figures are printed")]

/// Motions in closed form: measured as written, three verdicts, right and left alike.
mod closed_form;
/// Limits passed anywhere in a flight.
mod events;
/// Every figure of the catalogue as its own reference flies it.
mod every_figure;
/// Flights of a foreign flight model with exact truth (checks/flown): hits, misses, checkpoints, faults.
mod flown;
/// Flights of an invented airplane by a wandering hand.
mod invented;
mod pilot;
/// Recordings of real flights: what is found and what must not be.
mod real;
mod tally;
/// Verdicts against truth, near the tolerances too.
mod verdicts;

use assess::debrief::{Debrief, DebriefContext, debrief};
use maneuver::standard::{Standard, bundled};
use motion::{Known, reconstruct};
use recording::ReadOptions;

/// The usual standard.
fn commercial() -> Standard {
    bundled::load("faa-commercial").expect("bundled")
}

/// Debrief of the bytes of a recording; `Err` says which step refused it.
fn debriefed(name: &str, bytes: &[u8]) -> Result<Debrief, String> {
    let options = ReadOptions { name: name.into(), ..ReadOptions::default() };
    let recording = recording::read(bytes, &options).map_err(|error| error.to_string())?;
    let motion = reconstruct(&recording, &Known::default()).map_err(|error| error.to_string())?;
    let standard = commercial();
    let context = DebriefContext { airplane: None, standard: &standard, ground_elevation_m: None };
    Ok(debrief(recording, motion, &context))
}
