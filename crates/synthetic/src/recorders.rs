//! Recorders carried along in a lesson: each gives what a user would have, as the bytes of a file and as the recording that
//! a faultless reader makes of it. One more recorder is one file and one line in [`ALL`].
//!
//! How wrong a recorder is is drawn for each flight about what is usual (common practice, no source, unless a file says
//! otherwise), so that nothing can be fitted to one set of figures.

pub mod coarse;
pub mod log;
pub mod panel;
pub mod phone;
pub mod satellite;
pub mod surveillance;
pub mod trainer;

use crate::dice::Dice;
use crate::lesson::{Flight, Lesson};
pub use log::Log;

/// One recorder.
#[derive(Debug, Clone, Copy)]
pub struct Recorder {
    /// Stable key: lower-case words with hyphens.
    pub key: &'static str,
    /// In words.
    pub about: &'static str,
    /// What it writes of a flight.
    pub log: fn(&Lesson, &Flight) -> Log,
}

/// Every recorder, in the order they are reported.
pub const ALL: &[Recorder] = &[
    satellite::ONE_A_SECOND,
    satellite::FIVE_A_SECOND,
    coarse::RECORDER,
    surveillance::RECORDER,
    panel::RECORDER,
    phone::RECORDER,
    trainer::RECORDER,
];

/// The recorder of a key.
#[must_use]
pub fn find(key: &str) -> Option<&'static Recorder> {
    ALL.iter().find(|recorder| recorder.key == key)
}

/// A figure about one, never far from it: times or over up to the spread.
fn about_one(spread: f64, dice: &mut Dice) -> f64 {
    base::math::exp(dice.between(-base::math::ln(spread), base::math::ln(spread)))
}
