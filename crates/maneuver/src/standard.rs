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
    /// Since when it is in force, or for how long it was, as people write it; `None` when not known.
    pub in_force: Option<String>,
    /// Other editions with the same figures.
    pub same_figures_in: Vec<String>,
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
    /// Above the target and still excellent; only marking bands of our own have it.
    pub plus_excellent: Option<f64>,
    /// Below the target and still excellent (positive number).
    pub minus_excellent: Option<f64>,
    /// How much wider the band becomes for each meter a second of gusts found, in the quantity's unit; nil for most.
    pub wider_by_gusts: f64,
    /// As printed in reports: "±10°".
    pub tolerance_text: String,
    /// Source key and code: "ACS-C CA.V.C.S8".
    pub source: String,
    /// True when the figure is from memory and to be confirmed.
    pub from_memory: bool,
}

impl Row {
    /// Whether it is a marking band of our own, not a figure of a published standard.
    #[must_use]
    pub fn is_training_aid(&self) -> bool {
        self.source == TRAINING_AID
    }
}

/// Source key of marking bands of our own.
pub const TRAINING_AID: &str = "training-aid";

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
    /// Heading against that at the start of the figure, straight ahead, degrees, right positive.
    HeadingChangeDeg,
    /// Bank against the bank being held, level or in a turn, rolling apart, degrees.
    BankKeptDeg,
    /// Bank about its own smooth course, root mean square, degrees.
    BankWanderDeg,
    /// Pitch against that at the 90-degree point, degrees.
    PitchHeldDeg,
    /// Degrees turned in all.
    TurnedDeg,
    /// Degrees of turn at which the nose is highest.
    TurnOfHighestPitchDeg,
    /// Degrees of turn at which the nose is lowest.
    TurnOfLowestPitchDeg,
    /// Height lost, feet.
    HeightLostFt,
    /// Crest of one half against that of the other, over their entries, feet.
    CrestDifferenceFt,
    /// Lowest airspeed of one half against that of the other, knots.
    SlowestDifferenceKt,
    /// Greatest less least indicated airspeed, knots.
    AirspeedSpreadKt,
    /// Indicated airspeed above 1.2 times the stall speed at one g, knots.
    AirspeedOver12StallKt,
    /// Indicated airspeed above the maneuvering speed at the typical mass, or above the entry speed that the maker states, knots.
    AirspeedOverManeuveringKt,
    /// Lateral specific force (the ball), without sign, g.
    LateralLoadG,
    /// Distance from the point against its mean over the turns, percent.
    RadiusErrorPercent,
    /// Rate of roll, degrees a second.
    RollRateDps,
    /// Rate of pitch, degrees a second.
    PitchRateDps,
    /// Distance over the ground, meters.
    DistanceM,
    /// Line of sight of the wing against the pylon, degrees.
    AngleOffPylonDeg,
    /// Time, seconds.
    TimeS,
    /// Sideslip, degrees.
    SideslipDeg,
    /// Speed of the air, meters a second.
    SpeedMps,
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
            Self::HeadingChangeDeg => "heading change",
            Self::BankKeptDeg => "bank kept",
            Self::BankWanderDeg => "bank wander",
            Self::PitchHeldDeg => "pitch held",
            Self::TurnedDeg => "turned",
            Self::TurnOfHighestPitchDeg => "turn of highest pitch",
            Self::TurnOfLowestPitchDeg => "turn of lowest pitch",
            Self::HeightLostFt => "height lost",
            Self::CrestDifferenceFt => "crest difference",
            Self::SlowestDifferenceKt => "slowest difference",
            Self::AirspeedSpreadKt => "airspeed spread",
            Self::AirspeedOver12StallKt => "airspeed over 1.2 stall",
            Self::AirspeedOverManeuveringKt => "airspeed over maneuvering",
            Self::LateralLoadG => "lateral load",
            Self::RadiusErrorPercent => "radius error",
            Self::RollRateDps => "roll rate",
            Self::PitchRateDps => "pitch rate",
            Self::DistanceM => "distance",
            Self::AngleOffPylonDeg => "line of sight off the pylon",
            Self::TimeS => "time",
            Self::SideslipDeg => "sideslip",
            Self::SpeedMps => "gusts",
            Self::TurnDeg => "turn",
        }
    }
    /// Whether it is one number of the whole part or figure, with no course over it.
    #[must_use]
    pub const fn is_of_the_whole(self) -> bool {
        matches!(
            self,
            Self::AirspeedSpreadKt
                | Self::TurnedDeg
                | Self::TurnOfHighestPitchDeg
                | Self::TurnOfLowestPitchDeg
                | Self::HeightLostFt
                | Self::CrestDifferenceFt
                | Self::SlowestDifferenceKt
                | Self::BankWanderDeg
        )
    }
    /// Whether it holds one half of a figure against the other.
    #[must_use]
    pub const fn is_of_two_halves(self) -> bool {
        matches!(self, Self::CrestDifferenceFt | Self::SlowestDifferenceKt)
    }
    /// Unit of its values.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::HeadingErrorDeg
            | Self::BankDeg
            | Self::PitchDeg
            | Self::TurnDeg
            | Self::HeadingChangeDeg
            | Self::BankKeptDeg
            | Self::BankWanderDeg
            | Self::PitchHeldDeg
            | Self::TurnedDeg
            | Self::TurnOfHighestPitchDeg
            | Self::TurnOfLowestPitchDeg
            | Self::AngleOffPylonDeg
            | Self::SideslipDeg => "deg",
            Self::HeightChangeFt
            | Self::HeightAboveGroundFt
            | Self::HeightLostFt
            | Self::CrestDifferenceFt => "ft",
            Self::AirspeedChangeKt
            | Self::AirspeedOverStallKt
            | Self::SlowestDifferenceKt
            | Self::AirspeedSpreadKt
            | Self::AirspeedOver12StallKt
            | Self::AirspeedOverManeuveringKt => "kt",
            Self::LoadFactorG | Self::LateralLoadG => "g",
            Self::RadiusErrorPercent => "percent",
            Self::RollRateDps | Self::PitchRateDps => "deg/s",
            Self::DistanceM => "m",
            Self::SpeedMps => "m/s",
            Self::TimeS => "s",
        }
    }
}

/// Where a row is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeasuredAt {
    /// At the first movement.
    Start,
    /// From the first movement to the break of a stall.
    BeforeBreak,
    /// After the end, while the airplane is brought back to level flight.
    LevelOff,
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
            Self::Start => "at the start".into(),
            Self::BeforeBreak => "before the break".into(),
            Self::LevelOff => "in the level-off".into(),
            Self::Turn(turn_deg) => format!("at {turn_deg:.0} deg of turn"),
            Self::End => "at the end".into(),
            Self::Throughout => "throughout".into(),
            Self::Greatest => "greatest".into(),
            Self::Least => "least".into(),
        }
    }
}
