//! Attempts found in a reconstructed motion, measured, judged, coached: the debrief.
//!
//! * [`debrief`]: everything about one recording.
//! * [`attempt`]: an attempt with its parts, checkpoints, measures, findings, faults.

pub mod attempt;
pub mod debrief;

pub use attempt::{Attempt, Finding, Measure, Verdict};
