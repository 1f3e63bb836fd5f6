//! What the instructor notes about the attempts of a flight: who flew each, and with what help. A file people write:
//!
//! ```toml
//! [[attempt]]
//! number = 2                # as the debrief counts them, or
//! at = "754 s"              # a moment within it, from the first sample
//! by = "A. Heron"
//! help = "prompted"         # demonstrated, talked through, prompted, unaided, taken over, not stated
//! remark = "sun in the eyes"
//! ```

use assess::attempt::{Attempt, Flown, Help};
use base::typed_toml::{self, Faults, Section};
use base::units::Duration;

use crate::error::AppError;
use crate::files;

/// Notes about the attempts of one flight.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FlightNotes {
    name: String,
    notes: Vec<AttemptNote>,
}

#[derive(Debug, Clone, PartialEq)]
struct AttemptNote {
    line: usize,
    which: Which,
    flown: Flown,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Which {
    /// From 1.
    Number(usize),
    /// From the first sample.
    At(f64),
}

impl FlightNotes {
    /// Reads a file of notes.
    ///
    /// # Errors
    /// The file cannot be read, or has faults, each told with its line.
    pub fn open(name: &str) -> Result<Self, AppError> {
        Ok(Self::from_toml(&files::text(name)?, name)?)
    }
    /// From the text of a file; `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the text, with its line.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, |root| build(root, name))
    }
    /// Writes who flew what into the attempts. Returns what belongs to no attempt, in words.
    pub(crate) fn tell(&self, attempts: &mut [Attempt]) -> Vec<String> {
        let mut lost = Vec::new();
        for note in &self.notes {
            let found = match note.which {
                Which::Number(number) => attempts.get_mut(number - 1),
                Which::At(at_s) => {
                    attempts.iter_mut().find(|one| one.start_s <= at_s && at_s <= one.end_s)
                }
            };
            match found {
                Some(attempt) => attempt.flown = note.flown.clone(),
                None => {
                    let which = match note.which {
                        Which::Number(number) => format!("there is no attempt {number}"),
                        Which::At(at_s) => format!("no attempt was found at {at_s:.0} s"),
                    };
                    lost.push(format!("{}, line {}: {which}", self.name, note.line));
                }
            }
        }
        lost
    }
}

fn build(root: &Section<'_>, name: &str) -> Option<FlightNotes> {
    let sections = root.sections("attempt");
    if sections.is_empty() {
        root.fault("attempt", "notes need attempts", "add blocks [[attempt]]");
    }
    let notes: Vec<Option<AttemptNote>> = sections.iter().map(note).collect();
    let notes = notes.into_iter().collect::<Option<_>>()?;
    Some(FlightNotes { name: name.into(), notes })
}

fn note(section: &Section<'_>) -> Option<AttemptNote> {
    let number = section.optional_number("number", 1.0..=9999.0);
    let at = section.optional_quantity::<Duration>("at");
    let (by, remark) = (section.optional_text("by"), section.optional_text("remark"));
    let help = if section.has("help") {
        let words = Help::ALL.map(|help| (help.words(), help));
        section.choice("help", &words)
    } else {
        Some(Help::NotStated)
    };
    section.refuse_unknown();
    let which = match (number, at) {
        (Some(number), None) if number.fract() == 0.0 => Some(Which::Number(number as usize)),
        (None, Some(at)) => Some(Which::At(at.to_s())),
        _ => {
            let what = "an attempt is named by its number, or by a moment within it";
            section.fault("number", what, "write number = 2, or at = \"754 s\", not both");
            None
        }
    };
    let line = section.line(if number.is_some() { "number" } else { "at" });
    Some(AttemptNote { line, which: which?, flown: Flown { by, help: help?, remark } })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_are_read_and_their_faults_told_by_line() {
        let text = "[[attempt]]\nnumber = 2\nhelp = \"unaided\"\nby = \"A. Heron\"\n\n[[attempt]]\nat = \"754 s\"\nhelp = \"taken over\"\n";
        let notes = FlightNotes::from_toml(text, "notes.toml").unwrap();
        assert_eq!(notes.notes[0].which, Which::Number(2));
        assert_eq!(notes.notes[0].flown.help, Help::Unaided);
        assert_eq!(notes.notes[1].which, Which::At(754.0));
        assert_eq!(notes.tell(&mut []).len(), 2);
        let wrong = "[[attempt]]\nnumber = 2\nat = \"3 s\"\nhelp = \"alone\"\n";
        let faults = FlightNotes::from_toml(wrong, "notes.toml").unwrap_err();
        assert_eq!(faults.faults.len(), 2, "{faults}");
        assert!(faults.to_string().contains("line 4"), "{faults}");
        assert!(FlightNotes::from_toml("", "notes.toml").is_err());
    }
}
