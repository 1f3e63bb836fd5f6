//! `skychalk.patter/1`: what is said while a maneuver is flown, timed to the reference flight of an airplane on a day.

use maneuver::Direction;
use maneuver::brief as engine;
use maneuver::definition::When;
use maneuver::patter::{Said, Script, SecondsFit, Sheet, SpeakingRate, Voice};
use schemars::JsonSchema;
use serde::Serialize;

use crate::brief::SAFETY_SENTENCE;
use crate::number::{rounded, seconds};

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.patter/1";

/// The words for an airplane and a day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Patter {
    /// Always `skychalk.patter/1`.
    pub schema: &'static str,
    /// Catalogue key.
    pub maneuver: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Form key.
    pub form: &'static str,
    /// What the progress counts: `turn`, `pitch`, `roll`, `phase` or `position`.
    pub progress: &'static str,
    /// Airplane key.
    pub airplane: String,
    /// As of the brief; outside limits there are no words.
    pub verdict: &'static str,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
    /// Speaking rate, words a minute.
    pub speaking_rate_wpm: f64,
    /// File of the words; null for those that come with the program.
    pub script: Option<String>,
    /// One entry a side.
    pub sides: Vec<Side>,
    /// Cautions.
    pub notes: Vec<&'static str>,
}

/// The words of one side.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Side {
    /// `left` or `right`: the way of the first part.
    pub direction: &'static str,
    /// In the order of speaking, one voice after the other.
    pub patter: Vec<PatterLine>,
}

/// One sentence.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PatterLine {
    /// `demonstrating`, `directing` or `monitoring`.
    pub voice: &'static str,
    /// Which part of a figure of several, from 1.
    pub part: usize,
    /// `before` the flight, `at` a progress of the part, or `after` the part.
    pub when: &'static str,
    /// Progress of the part at which it is begun; null before and after.
    pub progress_deg: Option<f64>,
    /// Begin, seconds from the start of the flight; below zero before it.
    pub time_s: f64,
    /// Seconds that the words take at the speaking rate.
    pub seconds: f64,
    /// Seconds until the next sentence begins; null where nothing follows in haste.
    pub window_s: Option<f64>,
    /// What is said, values filled in.
    pub text: String,
    /// `full`; `short`: the full words do not fit their seconds; `too long`: not even the short form fits; `never said`: the
    /// flight ends before this place.
    pub fit: &'static str,
    /// What to know of a sentence that is not said in full.
    pub warning: Option<String>,
}

impl Patter {
    /// The words of a brief. `voice`: only that one.
    #[must_use]
    pub fn new(
        brief: &engine::Brief,
        script: &Script,
        rate: SpeakingRate,
        voice: Option<Voice>,
    ) -> Self {
        let side = |direction: Direction| {
            let mut patter = lines(&brief.patter, direction);
            patter.retain(|line| voice.is_none_or(|voice| voice.key() == line.voice));
            Side { direction: direction.word(), patter }
        };
        Self {
            schema: SCHEMA,
            maneuver: brief.maneuver.id(),
            title: brief.maneuver.title(),
            form: brief.form.key,
            progress: brief.maneuver.shape().progress.key(),
            airplane: brief.airplane_id.clone(),
            verdict: brief.verdict.words(),
            reasons: brief.reasons.clone(),
            speaking_rate_wpm: rounded(rate.to_wpm(), 1),
            script: script.own.clone(),
            sides: brief.sides.iter().map(|flight| side(flight.direction)).collect(),
            notes: vec![SAFETY_SENTENCE],
        }
    }
}

/// The sentences of one side, voice after voice.
pub(crate) fn lines(sheets: &[Sheet], direction: Direction) -> Vec<PatterLine> {
    let of_side = sheets.iter().filter(|sheet| sheet.direction == direction);
    of_side.flat_map(|sheet| sheet.lines.iter().map(|said| line(sheet.voice, said))).collect()
}

fn line(voice: Voice, said: &Said) -> PatterLine {
    let (when, progress_deg) = match said.when {
        When::Before => ("before", None),
        When::At(progress_deg) => ("at", Some(rounded(progress_deg, 2))),
        When::After => ("after", None),
    };
    PatterLine {
        voice: voice.key(),
        part: said.part + 1,
        when,
        progress_deg,
        time_s: seconds(said.time_s),
        seconds: seconds(said.seconds),
        window_s: said.window_s.map(seconds),
        text: said.text.clone(),
        fit: match said.fit {
            SecondsFit::Full => "full",
            SecondsFit::Short { .. } => "short",
            SecondsFit::TooLong { .. } => "too long",
            SecondsFit::NeverReached => "never said",
        },
        warning: said.warning(),
    }
}
