//! Patter: what the instructor says while the maneuver is flown, in step with a reference flight.
//!
//! * [`script`]: the words that come with the program, one file a maneuver.
//! * [`Script`]: words to be said, those of the program or somebody's own, read from and written to a file.
//! * [`sheet`]: the words with the values of one flight, each with its time and the seconds it takes.
//!
//! How it is timed: a sentence begins when the progress angle of its part passes its place and has until the next one begins. It
//! takes its words, numbers as they are spoken, at the speaking rate, and a breath of [`BREATH_S`]. Where that is more than there
//! is, the short form is said; where even that is, the sheet says so, and the sentence is the instructor's to mend.

mod file;
mod fill;
pub mod script;
mod spoken;
mod timing;

pub use fill::PLACEHOLDERS;
pub use spoken::spoken_words;
pub use timing::sheet;

use flight::wind::Wind;

use crate::definition::{Direction, Form, Maneuver, PatterLine, When};

/// Whose words: who flies and what the voice is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Voice {
    /// The instructor flies and tells what is done.
    Demonstrating,
    /// The student flies, the instructor says what to do.
    Directing,
    /// The student flies, the instructor says only what to look at.
    Monitoring,
}

impl Voice {
    /// Every voice, in the order of a lesson.
    pub const ALL: [Self; 3] = [Self::Demonstrating, Self::Directing, Self::Monitoring];

    /// As written in files, options and JSON.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Demonstrating => "demonstrating",
            Self::Directing => "directing",
            Self::Monitoring => "monitoring",
        }
    }
    /// As a heading is written.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Demonstrating => "demonstrating: the instructor flies",
            Self::Directing => "directing: the student flies, told what to do",
            Self::Monitoring => "monitoring: the student flies, told what to look at",
        }
    }
}

/// Words a minute.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SpeakingRate(f64);

impl SpeakingRate {
    /// Taken when none is told: the pace of unhurried speech that a student who flies still follows.
    pub const USUAL: Self = Self(150.0);
    /// Why that one, and where it is from.
    pub const USUAL_REASON: &'static str = "the pace of unhurried speech, slow enough for a student who flies (common practice, no source)";
    /// Slowest and fastest that are taken: slower is no speech, faster is not followed.
    pub const RANGE_WPM: std::ops::RangeInclusive<f64> = 60.0..=260.0;

    /// This many words a minute; `None` outside [`SpeakingRate::RANGE_WPM`].
    #[must_use]
    pub fn from_wpm(words: f64) -> Option<Self> {
        Self::RANGE_WPM.contains(&words).then_some(Self(words))
    }
    /// Words a minute.
    #[must_use]
    pub const fn to_wpm(self) -> f64 {
        self.0
    }
    /// Seconds that so many words take.
    #[must_use]
    pub fn seconds(self, words: usize) -> f64 {
        words as f64 * 60.0 / self.0
    }
}

/// A breath between two sentences, s (training aid, our judgement).
pub const BREATH_S: f64 = 0.3;

/// Words to be said in a maneuver, with their places.
#[derive(Debug, Clone, PartialEq)]
pub struct Script {
    /// Catalogue key.
    pub maneuver: String,
    /// Key of the form.
    pub form: String,
    /// Name of the file when they are somebody's own words.
    pub own: Option<String>,
    /// In the order of speaking.
    pub lines: Vec<ScriptLine>,
}

/// One sentence of a script.
#[derive(Debug, Clone, PartialEq)]
pub struct ScriptLine {
    /// Which part of a figure of several, from nil.
    pub part: usize,
    /// When it is begun.
    pub when: When,
    /// Progress of the part from which values are quoted, degrees.
    pub value_at_deg: f64,
    /// While demonstrating, directing, monitoring.
    pub texts: [String; 3],
    /// When there are not enough seconds, in every voice.
    pub short: String,
}

impl ScriptLine {
    /// The words of a voice.
    #[must_use]
    pub fn text(&self, voice: Voice) -> &str {
        &self.texts[voice as usize]
    }
}

impl From<&PatterLine> for ScriptLine {
    fn from(line: &PatterLine) -> Self {
        let PatterLine { part, when, value_at_deg, demonstrating, directing, monitoring, short } =
            *line;
        let texts = [demonstrating, directing, monitoring].map(String::from);
        Self { part, when, value_at_deg, texts, short: short.into() }
    }
}

impl Script {
    /// The words that come with the program for a day's wind; no lines where there is no patter for that form.
    #[must_use]
    pub fn of(maneuver: &dyn Maneuver, form: &Form, wind: Wind) -> Self {
        Self {
            maneuver: maneuver.id().into(),
            form: form.key.into(),
            own: None,
            lines: maneuver.script(form, wind.is_calm()).iter().map(ScriptLine::from).collect(),
        }
    }
}

/// The words for one flight in one voice.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Way of the first part.
    pub direction: Direction,
    /// Whose words.
    pub voice: Voice,
    /// Words a minute.
    pub rate: SpeakingRate,
    /// In the order of speaking.
    pub lines: Vec<Said>,
}

/// One sentence with its place in time.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// Which part of a figure of several, from nil.
    pub part: usize,
    /// When it is begun.
    pub when: When,
    /// Begin, seconds from the start of the flight; below zero before it.
    pub time_s: f64,
    /// Seconds that the words take.
    pub seconds: f64,
    /// Seconds until the next sentence begins; `None` where nothing follows in haste.
    pub window_s: Option<f64>,
    /// The words, values filled in.
    pub text: String,
    /// How they fit.
    pub fit: SecondsFit,
}

/// How a sentence fits its seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SecondsFit {
    /// The full words fit.
    Full,
    /// They do not: the short form is said.
    Short {
        /// Seconds that the full words would take.
        full_s: f64,
    },
    /// Not even the short form fits.
    TooLong {
        /// Seconds that the full words would take.
        full_s: f64,
    },
    /// The flight ends before this place: it is never said.
    NeverReached,
}

impl Said {
    /// What to know of a sentence that is not said in full; `None` where it is.
    #[must_use]
    pub fn warning(&self) -> Option<String> {
        let window_s = self.window_s.unwrap_or(0.0);
        match self.fit {
            SecondsFit::Full => None,
            SecondsFit::Short { full_s } => Some(format!(
                "short form: the full words and a breath take {:.1} s, and there are {window_s:.1} s",
                full_s + BREATH_S
            )),
            SecondsFit::TooLong { full_s } => Some(format!(
                "does not fit: the short form takes {:.1} s, the full words {full_s:.1} s, there are {window_s:.1} s",
                self.seconds
            )),
            SecondsFit::NeverReached => Some("never said: the part ends before this place".into()),
        }
    }
}

#[cfg(test)]
mod tests;
