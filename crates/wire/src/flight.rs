//! `skychalk.flight/1`: a debrief with what is drawn around it: the whole flight over the ground, and beside each attempt the
//! flight that the airplane would have made of the figure from the same entry.

use assess::debrief::Debrief as EngineDebrief;
use maneuver::reference::ReferenceFlight;
use motion::{Column, Motion};
use schemars::JsonSchema;
use serde::Serialize;

use crate::brief::{Mark, Path};
use crate::debrief::Debrief;
use crate::number::{knots, rounded, seconds};

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.flight/1";
/// Greatest number of points of the track over the ground.
const GROUND_POINTS_MAX: usize = 1800;

/// A debrief and what is drawn around it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Flight {
    /// Always `skychalk.flight/1`.
    pub schema: &'static str,
    /// The debrief.
    pub debrief: Debrief,
    /// The whole flight over the ground, thinned. Null when no place was recorded.
    pub ground: Option<Ground>,
    /// One entry an attempt.
    pub beside: Vec<Beside>,
}

/// The whole flight over the ground.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Ground {
    /// Seconds from the first sample.
    pub time_s: Vec<f64>,
    /// From the origin of the reconstruction, north.
    pub north_m: Vec<f64>,
    /// From the origin of the reconstruction, east.
    pub east_m: Vec<f64>,
}

/// What stands beside one attempt.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Beside {
    /// Where the wind came from at the start, degrees true; null when it was neither told nor found.
    pub wind_from_deg: Option<f64>,
    /// Its speed, kt.
    pub wind_speed_kt: Option<f64>,
    /// The reference flight from the same entry; null when the airplane is not known or does not give it (see the notes).
    pub reference: Option<Reference>,
}

/// A reference flight from the entry of an attempt.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Reference {
    /// `left` or `right`: side of its first turn. That of the attempt where the figure tells none (slow flight): the side first flown.
    pub direction: &'static str,
    /// The flight as columns.
    pub path: Path,
    /// Begin and end of each part, seconds of `path`.
    pub parts_s: Vec<[f64; 2]>,
    /// Progress of the part at the checkpoints.
    pub checkpoints_deg: Vec<f64>,
    /// What lies on the ground.
    pub marks: Vec<Mark>,
}

impl Flight {
    /// A debrief and one reference flight an attempt; none for those that have none.
    #[must_use]
    pub fn new(debrief: &EngineDebrief, references: &[Option<ReferenceFlight>]) -> Self {
        let beside = |(index, attempt): (usize, &assess::attempt::Attempt)| {
            let wind = wind_at(&debrief.motion, attempt.start_s);
            Beside {
                wind_from_deg: wind.map(|(from_deg, _)| from_deg),
                wind_speed_kt: wind.map(|(_, speed_kt)| speed_kt),
                reference: references.get(index).and_then(Option::as_ref).map(Reference::from),
            }
        };
        Self {
            schema: SCHEMA,
            debrief: Debrief::from(debrief),
            ground: ground(&debrief.motion),
            beside: debrief.attempts.iter().enumerate().map(beside).collect(),
        }
    }
}

impl From<&ReferenceFlight> for Reference {
    fn from(flight: &ReferenceFlight) -> Self {
        let time = |index: usize| flight.samples.get(index).map_or(0.0, |s| seconds(s.time_s));
        let last = flight.parts.last().map_or(flight.samples.len(), |part| part.last + 1);
        let of_first = flight.parts.first();
        let checkpoints = of_first.iter().flat_map(|part| &part.checkpoints);
        Self {
            direction: flight.direction.word(),
            path: Path::from(&flight.samples[..last.min(flight.samples.len())]),
            parts_s: flight.parts.iter().map(|p| [time(p.first), time(p.last)]).collect(),
            checkpoints_deg: checkpoints.map(|at| rounded(at.progress_deg, 2)).collect(),
            marks: flight.marks.iter().map(Into::into).collect(),
        }
    }
}

/// Where the wind comes from, degrees true, and its speed, kt.
fn wind_at(motion: &Motion, time_s: f64) -> Option<(f64, f64)> {
    let place = motion.place_at(time_s)?;
    let (north, east) = (motion.wind_north_mps.as_ref()?, motion.wind_east_mps.as_ref()?);
    let wind = flight::wind::Wind::from_velocity(north.at(place).0, east.at(place).0);
    let speed_kt = knots(wind.speed.to_mps());
    (speed_kt.is_finite()).then(|| (rounded(wind.from.to_deg(), 1), speed_kt))
}

/// Linear in the length of the flight.
fn ground(motion: &Motion) -> Option<Ground> {
    let (north, east) = (motion.north_m.as_ref()?, motion.east_m.as_ref()?);
    let step = motion.time_s.len().div_ceil(GROUND_POINTS_MAX).max(1);
    let thin = |column: &Column| {
        column.value.iter().step_by(step).map(|value| rounded(*value, 1)).collect()
    };
    Some(Ground {
        time_s: motion.time_s.iter().step_by(step).map(|time_s| seconds(*time_s)).collect(),
        north_m: thin(north),
        east_m: thin(east),
    })
}
