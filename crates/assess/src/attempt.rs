//! An attempt: a maneuver found in a recording.

use crate::coach::Coaching;
use crate::refly::Refly;
use base::factors::RAD_PER_DEG;
use base::math::wrap_pi;
use maneuver::Direction;
use maneuver::definition::Progress;
use maneuver::standard::{Measured, MeasuredAt};
use motion::Motion;

/// A value with one standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Most likely value.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
}

/// A maneuver found in a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempt {
    /// Catalogue key.
    pub maneuver: &'static str,
    /// Form key that fits best.
    pub form: &'static str,
    /// Way of the first part; `None` for a figure that goes neither way (a stall straight ahead, a loop).
    pub direction: Option<Direction>,
    /// Probability that this is what was flown, 0 to 1.
    pub confidence: f64,
    /// What spoke for and against, in words with numbers; the runner-up last.
    pub evidence: Vec<String>,
    /// First movement of the figure, s from time zero of the recording.
    pub start_s: f64,
    /// Figure finished.
    pub end_s: f64,
    /// One entry a part; figures of one piece have one.
    pub parts: Vec<AttemptPart>,
    /// Findings over the whole attempt (those of the parts are in the parts).
    pub findings: Vec<Finding>,
    /// What to keep, what to change, what to practise.
    pub coaching: Coaching,
    /// Numbers of the whole figure: one half against the other. Those of the parts are in the parts.
    pub measures: Vec<Measure>,
    /// Whether the area was cleared before it.
    pub clearing: Clearing,
    /// Who flew it, and with what help.
    pub flown: Flown,
    /// Notes on what could not be measured.
    pub notes: Vec<String>,
}

/// The middle of a turn, where bank is held against a standard: after the roll-in and before the roll-out, as shares of the turn.
pub const BANK_HELD_SHARES: (f64, f64) = (0.15, 0.85);

/// A turn has begun when the heading has changed by so much, rad: more than a stretch flown straight wanders.
const TURN_BEGUN_RAD: f64 = 15.0 * RAD_PER_DEG;

impl Attempt {
    /// The side to which it was flown: that of the figure, or, where the figure is told by none (slow flight), that of the first turn in
    /// it. `None` where it was flown straight, or no heading was recorded. Linear in the length of the attempt.
    #[must_use]
    pub fn side(&self, motion: &Motion) -> Option<Direction> {
        if self.direction.is_some() {
            return self.direction;
        }
        let heading_rad = &motion.heading_rad.as_ref()?.value;
        let from = motion.time_s.partition_point(|time_s| *time_s < self.start_s);
        let to = motion.time_s.partition_point(|time_s| *time_s <= self.end_s);
        let steps = heading_rad.get(from..to)?.windows(2);
        let mut turned_rad = 0.0;
        for step in steps {
            turned_rad += wrap_pi(step[1] - step[0]);
            if turned_rad.abs() >= TURN_BEGUN_RAD {
                let right = turned_rad > 0.0;
                return Some(if right { Direction::Right } else { Direction::Left });
            }
        }
        None
    }
}

/// Clearing turns in the three minutes before an attempt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clearing {
    /// A half circle, or two quarters, were turned.
    Seen,
    /// Three minutes were looked at, and there was none.
    NotSeen,
    /// The recording begins too late, or does not show the heading.
    CannotTell,
}

impl Clearing {
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::NotSeen => "not seen",
            Self::CannotTell => "cannot tell",
        }
    }
}

/// Who flew an attempt, and with what help.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Flown {
    /// Name, as told.
    pub by: Option<String>,
    /// With what help.
    pub help: Help,
    /// What else was noted.
    pub remark: Option<String>,
}

/// With what help an attempt was flown. Only unaided ones count toward readiness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Help {
    /// Nobody said it.
    #[default]
    NotStated,
    /// Flown by the instructor to show it.
    Demonstrated,
    /// Every step was said.
    TalkedThrough,
    /// Some were.
    Prompted,
    /// Flown alone.
    Unaided,
    /// The instructor took the controls.
    TakenOver,
}

impl Help {
    /// All that can be said.
    pub const ALL: [Self; 6] = [
        Self::NotStated,
        Self::Demonstrated,
        Self::TalkedThrough,
        Self::Prompted,
        Self::Unaided,
        Self::TakenOver,
    ];
    /// As written in files and outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NotStated => "not stated",
            Self::Demonstrated => "demonstrated",
            Self::TalkedThrough => "talked through",
            Self::Prompted => "prompted",
            Self::Unaided => "unaided",
            Self::TakenOver => "taken over",
        }
    }
}

/// One part of an attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct AttemptPart {
    /// Which way; `None` for a figure that goes neither way.
    pub direction: Option<Direction>,
    /// What the checkpoints are counted in. Figures over the ground are counted in degrees of heading turned, as turns are.
    pub progress: Progress,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Degrees of heading turned from start to wings level, the way of the part positive (to the right where it has none).
    pub turned_deg: Estimate,
    /// State at the checkpoints; a checkpoint never reached is absent.
    pub checkpoints: Vec<AttemptCheckpoint>,
    /// Numbers of this part.
    pub measures: Vec<Measure>,
    /// Measures held against the standard.
    pub findings: Vec<Finding>,
    /// Faults named, worst first.
    pub faults: Vec<FaultFound>,
}

/// The way of an attempt or part in a word: "left", "right", "none".
#[must_use]
pub const fn way(direction: Option<Direction>) -> &'static str {
    match direction {
        Some(direction) => direction.word(),
        None => "none",
    }
}

/// The state at a checkpoint. A quantity that the recording cannot support is `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AttemptCheckpoint {
    /// Progress since the start of the part, degrees of [`AttemptPart::progress`]; phases count 100 each.
    pub progress_deg: f64,
    /// Degrees of heading turned since the start of the part: the same number where the part is counted in turn.
    pub turn_deg: f64,
    /// When, s.
    pub time_s: f64,
    /// Bank, degrees, right positive.
    pub bank_deg: Option<Estimate>,
    /// Pitch, degrees.
    pub pitch_deg: Option<Estimate>,
    /// Pitch change since the start of the part, degrees.
    pub pitch_change_deg: Option<Estimate>,
    /// Calibrated airspeed, knots.
    pub cas_kt: Option<Estimate>,
    /// Height, feet.
    pub height_ft: Option<Estimate>,
    /// Load factor, g.
    pub load_factor: Option<Estimate>,
}

/// A probability as it is told in words: two decimals, but never one for what is not quite sure, nor nil for what may be.
#[must_use]
pub fn probability_words(probability: f64) -> String {
    match probability {
        p if (0.995..1.0).contains(&p) => "over 0.99".into(),
        p if p > 0.0 && p < 0.005 => "under 0.01".into(),
        p => format!("{p:.2}"),
    }
}

/// The same as a number of three decimals: at most 0.999 for what is not quite sure, at least 0.001 for what may be.
#[must_use]
pub fn probability_rounded(probability: f64) -> f64 {
    let rounded = (1000.0 * probability).round() / 1000.0;
    match probability {
        p if p < 1.0 && p > 0.0 => rounded.clamp(0.001, 0.999),
        _ => rounded,
    }
}

/// One number of an attempt.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Stable key: "heading_at_rollout_error_deg" (unit last).
    pub key: &'static str,
    /// What is measured.
    pub quantity: Measured,
    /// Where.
    pub place: MeasuredAt,
    /// The number; `None` when the recording cannot support it (a note says why).
    pub estimate: Option<Estimate>,
}

/// A measure held against a tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Key of the row: "rollout-heading".
    pub id: String,
    /// As printed: "heading at roll-out".
    pub title: String,
    /// The measured number, in `unit`; `None` when it could not be measured.
    pub estimate: Option<Estimate>,
    /// When it was read, s; `None` for numbers of the whole figure.
    pub at_s: Option<f64>,
    /// Unit.
    pub unit: &'static str,
    /// Lower edge of what is allowed, in `unit`.
    pub low: Option<f64>,
    /// Upper edge of what is allowed, in `unit`.
    pub high: Option<f64>,
    /// How far inside the nearest edge the number lies, in `unit`; negative outside.
    pub margin: Option<f64>,
    /// As printed: "±10°".
    pub tolerance: String,
    /// Source.
    pub source: String,
    /// True for a marking band of our own: a training aid, no published figure.
    pub training_aid: bool,
    /// Its mark on the scale of our own, where the row has one: "excellent", "satisfactory or better", "satisfactory", "needs work",
    /// "cannot tell".
    pub mark: Option<&'static str>,
    /// Met, not met, cannot tell.
    pub verdict: Verdict,
    /// Seconds outside, for rows that hold at many places.
    pub seconds_outside: Option<f64>,
    /// Whether an excursion was corrected before the end, for rows that hold at many places.
    pub corrected: Option<bool>,
    /// Why, when it cannot be told.
    pub why: Option<String>,
}

/// Three-valued verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the tolerance, uncertainty allowed for.
    Met,
    /// Outside, uncertainty allowed for.
    NotMet,
    /// Tolerance and uncertainty overlap, or nothing was measured.
    CannotTell,
}

impl Verdict {
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::NotMet => "not met",
            Self::CannotTell => "cannot tell",
        }
    }
}

/// A fault seen in a part.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultFound {
    /// Key of the fault list: "rolled-out-early".
    pub id: &'static str,
    /// What was seen, with numbers.
    pub evidence: String,
    /// How far past the line, in multiples of the tolerance: sorts the list.
    pub severity: f64,
    /// What most likely brought it about; `None` when that cannot be told or several things explain it as well.
    pub cause: Option<String>,
    /// The same part flown again with this mended, where that can be done.
    pub refly: Option<Refly>,
}

#[cfg(test)]
mod tests {
    use super::{probability_rounded, probability_words};

    #[test]
    fn prop_only_what_is_sure_is_told_as_one() {
        let told = [0.0, 1e-9, 0.0049, 0.005, 0.5, 0.994, 0.995, 0.998, 1.0 - 1e-9, 1.0];
        let words = told.map(probability_words);
        assert_eq!(
            words,
            [
                "0.00",
                "under 0.01",
                "under 0.01",
                "0.01",
                "0.50",
                "0.99",
                "over 0.99",
                "over 0.99",
                "over 0.99",
                "1.00"
            ]
        );
        let numbers = told.map(|told| probability_rounded(told).to_string());
        let wanted =
            ["0", "0.001", "0.005", "0.005", "0.5", "0.994", "0.995", "0.998", "0.999", "1"];
        assert_eq!(numbers, wanted);
    }
}
