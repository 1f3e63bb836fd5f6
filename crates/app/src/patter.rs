//! The patter sheet of a maneuver for an airplane and a day.

use maneuver::patter::{Script, SpeakingRate, Voice};
use report::model::Document;

use crate::answer::{self, Answer};
use crate::brief::{Asked, BriefAnswer, brief};
use crate::error::{AppError, Outcome};
use crate::suggest;

/// The words of the voices, as typed.
pub const VOICES: &[&str] = &["demonstrating", "directing", "monitoring", "all"];

/// The words for the flights of a brief.
#[derive(Debug, Clone)]
pub struct PatterAnswer {
    brief: BriefAnswer,
    script: Script,
    rate: SpeakingRate,
    voice: Option<Voice>,
}

/// The voice of a word; `None` for all of them.
///
/// # Errors
/// No such voice.
pub fn voice(typed: Option<&str>) -> Result<Option<Voice>, AppError> {
    let Some(typed) = typed.map(str::trim).filter(|typed| *typed != "all") else { return Ok(None) };
    let found = Voice::ALL.into_iter().find(|voice| voice.key() == typed);
    found.map(Some).ok_or_else(|| suggest::unknown("voice", typed, VOICES))
}

/// Flies the maneuver and puts words to it.
#[must_use]
pub fn patter(asked: &Asked, voice: Option<Voice>) -> PatterAnswer {
    let (script, rate) = (asked.script(), asked.speaking_rate());
    // The verdict above the words is that of the brief, hands and feet included.
    let asked = Asked { fit: false, ..asked.clone() };
    PatterAnswer { brief: brief(&asked), script, rate, voice }
}

impl Answer for PatterAnswer {
    fn outcome(&self) -> Outcome {
        if self.brief.brief.patter.is_empty() { Outcome::Nothing } else { self.brief.outcome() }
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::of_words()
    }
    fn document(&self) -> Option<Document> {
        Some(report::patter::document(&self.brief.brief, &self.script, self.rate, self.voice))
    }
    fn json(&self) -> String {
        let Self { brief, script, rate, voice } = self;
        wire::to_json(&wire::patter::Patter::new(&brief.brief, script, *rate, *voice))
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        self.brief.remarks(format)
    }
}
