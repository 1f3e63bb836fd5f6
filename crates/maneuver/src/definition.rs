//! The words a maneuver is described with.

use crate::reference::{Entry, Infeasible, ReferenceFlight};
use base::units::Length;
use flight::air::Day;
use flight::airplane::{Airplane, NoFlaps};
use std::borrow::Cow;

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

/// The clock of a maneuver's pictures: what its progress angle counts since the start of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Degrees of heading turned.
    Turn,
    /// Degrees that the path has pitched in the plane of a loop; the nose leads it by the angle of attack.
    Pitch,
    /// Degrees rolled.
    Roll,
    /// Degrees pitched in the pulls, and degrees rolled between them, in one count.
    PitchAndRoll,
    /// Phase of a scripted figure: 100 for each phase that is done, so that 250 is half way through the third.
    Phase,
    /// Degrees round a ground figure: of the direction from its center, or of track where it has none.
    Position,
}

impl Progress {
    /// As written in files and JSON.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Turn => "turn",
            Self::Pitch => "pitch",
            Self::Roll => "roll",
            Self::PitchAndRoll => "pitch-and-roll",
            Self::Phase => "phase",
            Self::Position => "position",
        }
    }
    /// As an axis is titled.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Turn => "degrees of turn",
            Self::Pitch => "degrees of pitch travelled",
            Self::Roll => "degrees of roll",
            Self::PitchAndRoll => "degrees pitched and rolled",
            Self::Phase => "phase, in hundredths",
            Self::Position => "degrees round the figure",
        }
    }
    /// In one word, as the head of a column.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Turn => "turned",
            Self::Pitch => "pitched",
            Self::Roll => "rolled",
            Self::PitchAndRoll => "travelled",
            Self::Phase => "phase",
            Self::Position => "round",
        }
    }
    /// The sign of its unit: a degree sign, or nothing for phases.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Phase => "",
            Self::Turn | Self::Pitch | Self::Roll | Self::PitchAndRoll | Self::Position => "\u{b0}",
        }
    }
}

/// The shape of a maneuver that detection and measuring need: constant data, no physics.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shape {
    /// What its pictures run on.
    pub progress: Progress,
    /// Parts flown one after the other.
    pub parts: usize,
    /// Whether each part goes the opposite way of the one before.
    pub alternating: bool,
    /// Whether left and right are different figures, in any form; a loop has no side.
    pub sided: bool,
    /// Progress of one part, degrees of [`Shape::progress`].
    pub span_deg: f64,
    /// Progress at which one part is read, degrees.
    pub checkpoints_deg: &'static [f64],
    /// Whether recordings are searched for it.
    pub sought: bool,
}

/// How high a figure is flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Floor {
    /// Nothing of the figure, recovery included, goes below this height above the ground.
    pub above_ground: Length,
    /// Where it is usually entered, above the ground; `None`: the floor and what the figure and a bad recovery need.
    pub entry_above_ground: Option<Length>,
    /// Where the floor is from.
    pub source: &'static str,
}

/// When a sentence of the patter is begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// Before the figure begins.
    Before,
    /// At this progress of the part, degrees.
    At(f64),
    /// After the part has ended.
    After,
}

/// One sentence of the patter in its three voices. `{bank}`, `{pitch}`, `{speed}`, `{heading}`, `{height}`, `{gain}`, `{load}`,
/// `{power}`, `{side}` and `{other}` are filled from the flight, as values where [`PatterLine::value_at_deg`] says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PatterLine {
    /// Which part of a figure of several, from nil.
    pub part: usize,
    /// When it is begun.
    pub when: When,
    /// Progress of the part from which values are quoted, degrees.
    pub value_at_deg: f64,
    /// While demonstrating.
    pub demonstrating: &'static str,
    /// While directing the student.
    pub directing: &'static str,
    /// While monitoring.
    pub monitoring: &'static str,
    /// When there are not enough seconds.
    pub short: &'static str,
}

/// A step on the way to the full figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// As people call it: "30 degrees of bank".
    pub title: &'static str,
    /// What is flown in this step.
    pub text: Sourced,
}

/// Where the flaps are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaps {
    /// Up.
    Up,
    /// Down as for the landing: at the position of the greatest lift.
    Landing,
}

impl Flaps {
    /// The airplane with its flaps so; one that has them there already stays as it is.
    ///
    /// # Errors
    /// An airplane whose file does not tell of its flaps.
    pub fn set(self, airplane: &Airplane) -> Result<Cow<'_, Airplane>, NoFlaps> {
        match self {
            Self::Landing if airplane.flaps_set.is_none() => {
                airplane.with_landing_flaps().map(Cow::Owned)
            }
            Self::Up | Self::Landing => Ok(Cow::Borrowed(airplane)),
        }
    }
}

/// How a figure stands to the maneuvering speed V_A: above it a full or abrupt deflection of a control, or a full pull, passes the limit
/// load before the wing stalls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Maneuvering {
    /// Entered at or below it, and flown below it throughout: care is told where it is not.
    Kept,
    /// Never above it, by this source.
    Never(&'static str),
    /// Entered at the speed of its own, and dives on a path of its own: it is held at the entry alone.
    AtEntry,
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
    /// How high it is flown.
    fn floor(&self) -> Floor;
    /// Says that no published standard exists; `None` where one does.
    fn unpublished(&self) -> Option<Sourced> {
        None
    }
    /// Why it is shown as a hazard, and never proposed without its checks; `None` for exercises.
    fn hazard(&self) -> Option<Sourced> {
        None
    }
    /// How it lies in the wind where there is one, which then decides the heading at entry: "downwind". `None` where any heading may be
    /// chosen; in calm air all may.
    fn entered_by_wind(&self) -> Option<&'static str> {
        None
    }
    /// Whether left and right are different figures in this form: a stall straight ahead has no side, one in a turn has.
    fn sided(&self, _: &Form) -> bool {
        self.shape().sided
    }
    /// Why a form is kept as history and not flown here: no reference flight, no patter; `None` for forms that are flown.
    fn history(&self, _: &Form) -> Option<Sourced> {
        None
    }
    /// What is said while it is flown in this form, in wind or in calm air, in the order of speaking; empty where nothing is (a
    /// hazard, a form shown as history).
    fn script(&self, form: &Form, calm: bool) -> &'static [PatterLine] {
        crate::patter::script::of(self.id(), form.key, calm)
    }
    /// Steps toward the full figure, the easiest first.
    fn steps(&self) -> &'static [Step] {
        &[]
    }
    /// Where the flaps are in this form.
    fn flaps(&self, _: &Form) -> Flaps {
        Flaps::Up
    }
    /// How it stands to the maneuvering speed. Figures through the vertical have dives in them and entry speeds of their own.
    fn maneuvering(&self) -> Maneuvering {
        match self.shape().progress {
            Progress::Pitch | Progress::PitchAndRoll => Maneuvering::AtEntry,
            _ => Maneuvering::Kept,
        }
    }
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
