//! Published completion standards as data: licence, edition, rows; each row with its source.
//!
//! * [`Standard::from_toml`] reads a file; every fault is told with its line.
//! * [`bundled`]: the standards that come with the program.

pub mod bundled;
mod file;
#[cfg(test)]
mod tests;

/// A published standard, read from TOML.
#[derive(Debug, Clone, PartialEq)]
pub struct Standard {
    /// Stable key: "faa-commercial".
    pub id: String,
    /// As people call it.
    pub title: String,
    /// Licence it belongs to.
    pub licence: String,
    /// Edition.
    pub edition: String,
    /// Rows.
    pub rows: Vec<Row>,
}

/// One tolerance.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Stable key within the maneuver: "rollout-heading".
    pub id: String,
    /// Catalogue key of the maneuver.
    pub maneuver: String,
    /// Forms it applies to; empty for all.
    pub forms: Vec<String>,
    /// What is measured.
    pub quantity: Measured,
    /// Where it is measured.
    pub place: MeasuredAt,
    /// Wanted value in the quantity's unit; deviations count from it.
    pub target: f64,
    /// Allowed above the target; `None` for no bound.
    pub plus: Option<f64>,
    /// Allowed below the target (positive number); `None` for no bound.
    pub minus: Option<f64>,
    /// As printed in reports: "±10°".
    pub tolerance_text: String,
    /// Source key and code: "ACS-C CA.V.C.S8".
    pub source: String,
    /// True when the figure is from memory and to be confirmed.
    pub from_memory: bool,
}

/// What a row or a measure is about; the unit is in the name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Measured {
    /// Heading error against the wanted turn, degrees, positive turned too far.
    HeadingErrorDeg,
    /// Absolute bank, degrees.
    BankDeg,
    /// Pitch, degrees.
    PitchDeg,
    /// Height relative to entry, feet.
    HeightChangeFt,
    /// Height above the ground, feet.
    HeightAboveGroundFt,
    /// Indicated airspeed relative to entry, knots.
    AirspeedChangeKt,
    /// Indicated airspeed above the stall speed at one g, knots.
    AirspeedOverStallKt,
    /// Load factor, g.
    LoadFactorG,
    /// Degrees of turn at which something happens. Measured, but no row of a standard is about it.
    TurnDeg,
}

impl Measured {
    /// The word for it in standard files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::HeadingErrorDeg => "heading error",
            Self::BankDeg => "bank",
            Self::PitchDeg => "pitch",
            Self::HeightChangeFt => "height change",
            Self::HeightAboveGroundFt => "height above ground",
            Self::AirspeedChangeKt => "airspeed change",
            Self::AirspeedOverStallKt => "airspeed over stall",
            Self::LoadFactorG => "load factor",
            Self::TurnDeg => "turn",
        }
    }
    /// Unit of its values.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::HeadingErrorDeg | Self::BankDeg | Self::PitchDeg | Self::TurnDeg => "deg",
            Self::HeightChangeFt | Self::HeightAboveGroundFt => "ft",
            Self::AirspeedChangeKt | Self::AirspeedOverStallKt => "kt",
            Self::LoadFactorG => "g",
        }
    }
}

/// Where a row is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeasuredAt {
    /// At a checkpoint, degrees of turn.
    Turn(f64),
    /// At the end of a part: wings level (roll-out).
    End,
    /// Everywhere in the steady middle: worst value, seconds outside, whether corrected.
    Throughout,
    /// Greatest over the part.
    Greatest,
    /// Least over the part.
    Least,
}

impl MeasuredAt {
    /// As said in lists.
    #[must_use]
    pub fn words(self) -> String {
        match self {
            Self::Turn(turn_deg) => format!("at {turn_deg:.0} deg of turn"),
            Self::End => "at the end".into(),
            Self::Throughout => "throughout".into(),
            Self::Greatest => "greatest".into(),
            Self::Least => "least".into(),
        }
    }
}
