//! Two or more recordings of one flight made one: by their clocks where they have them, refined or found by what both
//! recorded (path, height, speed, turning). What they have in common must agree, else they are refused with the numbers.
//!
//! * `signals`: a recording as signals on an even grid. `offset`: the offset between two clocks and its evidence.
//! * `join`: fixes and series of both on one clock, the better source of each quantity kept.
//!
//! Cost: linear in the samples for clocks that agree; where a clock has to be found, the product of the two lengths in
//! grid steps, of which there are at most `signals::STEPS_MOST`.

mod join;
mod offset;
mod signals;
#[cfg(test)]
mod tests;

use crate::normal::Recording;

/// Why recordings cannot be made one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MergeError {
    /// There is none.
    #[error("no recording to join")]
    Nothing,
    /// Their clocks have nothing in common and what they recorded fits nowhere.
    #[error(
        "{first} and {second} cannot be of one flight: by their clocks {apart_s:.0} s lie between them{search}"
    )]
    NoOverlap {
        /// The one.
        first: String,
        /// The other.
        second: String,
        /// Time between the end of the one and the start of the other, s.
        apart_s: f64,
        /// What a search without the clocks found, beginning with a comma, or nothing.
        search: String,
    },
    /// A clock is missing and the other signals do not tell where they belong.
    #[error("{first} and {second} have no common clock, and {why}")]
    NoClock {
        /// The one.
        first: String,
        /// The other.
        second: String,
        /// Why the search failed, with its numbers.
        why: String,
    },
    /// At the same times they are at different places.
    #[error(
        "{first} and {second} do not agree: at the same times their positions are {distance_m:.0} m apart in the median (offset {offset_s:.1} s, {count} places compared)"
    )]
    Disagree {
        /// The one.
        first: String,
        /// The other.
        second: String,
        /// Middle distance, m.
        distance_m: f64,
        /// Clock of the first less clock of the second, s.
        offset_s: f64,
        /// Places compared.
        count: usize,
    },
}

impl MergeError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Nothing => "give at least one recording".into(),
            Self::NoOverlap { .. } => {
                "check that both are of the same flight, and the time zone of a table: utc_offset in a column map".into()
            }
            Self::NoClock { .. } => {
                "join recordings that share height, speed or turning for some minutes of maneuvering, or give a clock".into()
            }
            Self::Disagree { .. } => "check that both were in the same airplane on the same flight".into(),
        }
    }
}

/// Makes recordings of one flight one, on the clock of the first that states its start. Each quantity is kept from the
/// better source; what was decided is told in notes.
///
/// # Errors
/// They do not overlap, do not agree, or nothing tells how their clocks go together.
pub fn merge(recordings: &[Recording]) -> Result<Recording, MergeError> {
    let (first, others) = recordings.split_first().ok_or(MergeError::Nothing)?;
    let mut whole = first.clone();
    if !others.is_empty() {
        for series in &mut whole.series {
            series.origin = format!("{}: {}", first.name, series.origin);
        }
        for note in &mut whole.notes {
            note.text = format!("{}: {}", first.name, note.text);
        }
    }
    for other in others {
        let found = offset::between(&whole, other)?;
        whole = join::join(whole, other, &found);
    }
    Ok(whole)
}
