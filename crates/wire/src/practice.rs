//! `skychalk.practice/1`: a flight with a fault in it, and the answer when it is asked for.

use assess::practice::Planted;
use schemars::JsonSchema;
use serde::Serialize;

use crate::brief::SAFETY_SENTENCE;
use crate::number::seconds;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.practice/1";

/// A flight for an instructor's own practice.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Practice {
    /// Always `skychalk.practice/1`.
    pub schema: &'static str,
    /// Catalogue key.
    pub maneuver: &'static str,
    /// `left` or `right`.
    pub direction: &'static str,
    /// Name of the airplane.
    pub airplane: String,
    /// What the flight was drawn from.
    pub seed: u64,
    /// Length of the flight, s.
    pub duration_s: f64,
    /// The answer; null until it is asked for.
    pub answer: Option<PracticeAnswer>,
    /// Cautions.
    pub notes: Vec<String>,
}

/// What was wrong, why, and what to say.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PracticeAnswer {
    /// Fault key.
    pub fault: &'static str,
    /// What it is.
    pub what: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// How it shows.
    pub measured: &'static str,
    /// What usually brings it about.
    pub usual_causes: &'static [&'static str],
    /// The cure.
    pub remedy: &'static str,
    /// What to practise against it.
    pub drill: &'static str,
    /// Begin of the spoiled part, s.
    pub from_s: f64,
    /// Its end, s.
    pub to_s: f64,
}

impl Practice {
    /// The flight, with the answer or without.
    #[must_use]
    pub fn new(planted: &Planted, airplane: &str, seed: u64, revealed: bool) -> Self {
        let fault = planted.fault;
        let answer = revealed.then(|| PracticeAnswer {
            fault: fault.id,
            what: fault.what,
            why: fault.why,
            measured: fault.measured,
            usual_causes: fault.causes,
            remedy: fault.remedy_in(planted.maneuver),
            drill: fault.drill,
            from_s: seconds(planted.part_s.0),
            to_s: seconds(planted.part_s.1),
        });
        Self {
            schema: SCHEMA,
            maneuver: planted.maneuver,
            direction: planted.direction.word(),
            airplane: airplane.into(),
            seed,
            duration_s: seconds(planted.samples.last().map_or(0.0, |last| last.time_s)),
            answer,
            notes: vec![SAFETY_SENTENCE.into()],
        }
    }
}
