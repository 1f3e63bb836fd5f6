//! Attempts found in a reconstructed motion, measured, judged, coached: the debrief.
//!
//! * [`corrections`]: what the user says about the attempts found.
//! * [`debrief`]: everything about one recording.
//! * [`attempt`]: an attempt with its parts, checkpoints, measures, findings, faults.
//! * [`coach`](mod@coach): causes, and what to keep, to change, to practise.
//! * [`faults`]: the faults that can be named, one file each.
//! * `trace`: the motion on an even grid in trade units.
//! * `find`: candidates, signatures, the choice.
//! * [`practice`]: a fault planted in a reference flight.
//! * [`refly`]: an attempt flown again with one thing mended.
//! * `part`: one part of an attempt, as everything that measures looks at it.
//! * `measure`, `judge`, `held`: numbers, and rows of a standard held against them.
//! * [`events`]: limits passed anywhere in the flight; `clearing`: clearing turns before an attempt.

pub mod attempt;
mod clearing;
pub mod coach;
pub mod corrections;
pub mod debrief;
pub mod events;
pub mod faults;
mod find;
mod held;
mod judge;
mod measure;
mod part;
pub mod practice;
pub mod refly;
mod trace;

pub use attempt::{Attempt, Finding, Measure, Verdict};
