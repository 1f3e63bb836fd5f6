//! A maneuver for an airplane and a day: both sides, limits with margins, verdict, safety.

use crate::definition::{Direction, Form, Maneuver, Sourced};
use crate::reference::{Infeasible, ReferenceFlight};
use base::kinds::{CalibratedAirspeed, GeometricHeight};
use base::units::Mass;
use flight::air::Day;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BriefRequest {
    /// Which form; `None` for the usual one.
    pub form: Option<Form>,
    /// Which sides, in the order to show.
    pub sides: Sides,
    /// Mass of the day; `None` for the airplane's typical one.
    pub mass: Option<Mass>,
    /// Entry height above mean sea level; `None` for a height that keeps the floor with margin.
    pub height: Option<GeometricHeight>,
    /// Entry speed; `None` for the one the maneuver chooses.
    pub speed: Option<CalibratedAirspeed>,
    /// The day.
    pub day: Day,
}

/// Which sides are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// One side.
    One(Direction),
    /// Left, then right.
    Both,
}

/// The answer.
#[derive(Debug, Clone)]
pub struct Brief {
    /// The maneuver.
    pub maneuver: &'static dyn Maneuver,
    /// The form.
    pub form: Form,
    /// Name and key of the airplane.
    pub airplane_name: String,
    /// Key of the airplane.
    pub airplane_id: String,
    /// The day.
    pub day: Day,
    /// Mass of the day.
    pub mass: Mass,
    /// Entry height.
    pub height: GeometricHeight,
    /// Verdict over all sides.
    pub verdict: Verdict,
    /// Why, with numbers; one sentence each.
    pub reasons: Vec<String>,
    /// Reference flights, one a side; empty when it cannot be flown or may not be.
    pub sides: Vec<ReferenceFlight>,
    /// Why there is no flight.
    pub infeasible: Option<Infeasible>,
    /// Limits with margins, worst over the sides.
    pub limits: Vec<Limit>,
    /// Cautions; those computed here and those that only people can check.
    pub safety: Vec<SafetyLine>,
    /// Source keys used.
    pub sources: Vec<&'static str>,
}

/// Verdict of a brief. Never reads as a clearance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Every limit that is computed here is kept by its margin.
    WithinComputedLimits,
    /// Kept, but something is needed (parachutes, an approved-maneuver entry).
    WithinComputedLimitsWith,
    /// A limit is passed; never offered as a plan.
    OutsideLimits,
}

impl Verdict {
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WithinComputedLimits => "within computed limits",
            Self::WithinComputedLimitsWith => "within computed limits with",
            Self::OutsideLimits => "outside limits",
        }
    }
}

/// One limit and how near the flight comes to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Stable key: "load-factor", "stall-margin", "entry-speed-va", "floor", "never-exceed".
    pub id: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Worst value of the flight, in `unit`.
    pub value: f64,
    /// The limit, in `unit`.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// Whether the limit is above (a greatest value) or below (a least value).
    pub side: LimitSide,
    /// Margin to the limit, positive when kept.
    pub margin: f64,
    /// Source key.
    pub source: &'static str,
    /// Whether it is kept.
    pub kept: bool,
}

/// On which side of the values the limit lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitSide {
    /// Values must stay below.
    Above,
    /// Values must stay above.
    Below,
}

/// One line of the safety sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafetyLine {
    /// What to check or know.
    pub line: Sourced,
    /// Computed here, or for the instructor to check.
    pub whose: Whose,
}

/// Who checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Computed here.
    CheckedHere,
    /// The instructor's to check.
    YoursToCheck,
}
