//! The words a maneuver is described with.

use crate::reference::{Entry, Infeasible, ReferenceFlight};
use flight::air::Day;
use flight::airplane::Airplane;

/// A figure or statement with the key of its source (resolved in SOURCES.md).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sourced {
    /// In our own words.
    pub text: &'static str,
    /// Source key; "common-practice" when there is no published one, "from-memory" when it is still to be confirmed.
    pub source: &'static str,
}

/// Which way a figure (or its first half) turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Direction {
    /// +1 to the right, -1 to the left: multiplies bank and turn.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Right => 1.0,
            Self::Left => -1.0,
        }
    }
    /// The other way.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Right => Self::Left,
            Self::Left => Self::Right,
        }
    }
    /// "left" or "right".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// One way of flying a maneuver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Form {
    /// Stable key: "shallow", "45".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// What makes it this form, with its source.
    pub description: Sourced,
}

/// The clock of a maneuver's pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Degrees of heading turned since the start of the part.
    Turn,
}

/// The shape of a maneuver that detection and measuring need: constant data, no physics.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// What its pictures run on.
    pub progress: Progress,
    /// Parts flown one after the other, each the opposite way of the one before; 1 or 2.
    pub parts: usize,
    /// Degrees of turn of one part.
    pub turn_deg: f64,
    /// Degrees of turn at which one part is read.
    pub checkpoints_deg: &'static [f64],
}

/// One maneuver of the catalogue.
pub trait Maneuver: Sync + std::fmt::Debug {
    /// Stable key used in commands, files and JSON.
    fn id(&self) -> &'static str;
    /// As people call it.
    fn title(&self) -> &'static str;
    /// What it teaches, one or two sentences.
    fn purpose(&self) -> Sourced;
    /// The ways it is flown; the first is the usual one.
    fn forms(&self) -> &'static [Form];
    /// Constant data for detection and measuring.
    fn shape(&self) -> Shape;
    /// How it is entered.
    fn entry(&self) -> &'static [Sourced];
    /// What the instructor watches for: the errors known to the trade.
    fn errors(&self) -> &'static [Sourced];
    /// Cautions and rules of this figure.
    fn cautions(&self) -> &'static [Sourced];
    /// Whether it is an aerobatic figure that needs an entry in the list of approved maneuvers.
    fn needs_approval(&self, form: &Form) -> bool;
    /// Finds the reference flight: the flight of this airplane on this day that satisfies the form.
    ///
    /// # Errors
    /// When the airplane cannot do it: what was needed, what is available.
    fn fly(
        &self,
        airplane: &Airplane,
        day: &Day,
        entry: &Entry,
    ) -> Result<ReferenceFlight, Infeasible>;
}
