//! Synthetic flights against closed forms, and the path from recording to debrief against their truth.

#![allow(clippy::print_stdout, reason = "achieved figures are printed")]

/// Reconstruction against truth on flights of several seeds.
mod accuracy;
/// The demo flight, from its file to its debrief.
mod demo;
/// Every figure of the catalogue by every sensor.
mod every_figure;
/// Deviations on purpose, and what the debrief makes of them.
mod faults;
/// Drawn lessons: the truth against itself, recorders against the readers.
mod lessons;
#[path = "../../../assess/tests/it/tally.rs"]
mod tally;
/// The truth against closed forms.
mod truth;
/// Verdicts on drawn lessons against those on their truth.
mod verdicts;

use assess::debrief::{Debrief, DebriefContext, debrief};
use flight::airplane::Airplane;
use maneuver::standard::bundled;
use motion::{Known, reconstruct};
use recording::ReadOptions;

/// Debrief of the text of a table with the airplane known.
fn debriefed(name: &str, text: &str, airplane: &Airplane) -> Debrief {
    let options = ReadOptions { name: name.into(), ..ReadOptions::default() };
    let recording = recording::read(text.as_bytes(), &options).expect("our own table is read");
    let known = Known { airplane: Some(airplane), ..Known::default() };
    let motion = reconstruct(&recording, &known).expect("our own fixes determine a motion");
    let standard = bundled::load("faa-commercial").expect("bundled");
    let context = DebriefContext {
        airplane: Some(airplane),
        standard: &standard,
        ground_elevation_m: Some(0.0),
    };
    debrief(recording, motion, &context)
}
