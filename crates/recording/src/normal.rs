//! The normal form of a recorded flight: fixes of a satellite receiver and series of other sensors, each at its own
//! times, SI units, seconds from the first sample of the file.

pub(crate) mod assemble;
mod device;
mod heights;
pub(crate) mod oddities;
#[cfg(test)]
mod tests;

use base::time::UtcInstant;

/// A recorded flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Key of the format it was read by: "csv", "gpx", "igc".
    pub format: &'static str,
    /// Name of the file or stream, for messages; readers take it as an argument.
    pub name: String,
    /// The instant of time zero, when the file says it.
    pub start: Option<UtcInstant>,
    /// Satellite fixes, times strictly increasing.
    pub fixes: Vec<Fix>,
    /// What the heights of the fixes are measured from.
    pub height_datum: HeightDatum,
    /// Other sensors, one entry a quantity.
    pub series: Vec<Series>,
    /// Holes in the fixes: longer than three times the usual step and at least two seconds.
    pub gaps: Vec<Gap>,
    /// What the reader had to say: assumptions, oddities, things left out.
    pub notes: Vec<Note>,
}

impl Recording {
    /// A recording that holds nothing yet, for a motion that was not read from a file: heights above mean sea level.
    #[must_use]
    pub fn empty(format: &'static str, name: &str) -> Self {
        Self {
            format,
            name: name.to_owned(),
            start: None,
            fixes: Vec::new(),
            height_datum: HeightDatum::MeanSeaLevel,
            series: Vec::new(),
            gaps: Vec::new(),
            notes: Vec::new(),
        }
    }
    /// The series of one quantity, if recorded.
    #[must_use]
    pub fn series_of(&self, quantity: QuantityKind) -> Option<&Series> {
        self.series.iter().find(|series| series.quantity == quantity)
    }
    /// Time of the last sample of any kind, s.
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        let last_fix = self.fixes.last().map_or(0.0, |fix| fix.time_s);
        let last = |series: &Series| series.times_s.last().copied().unwrap_or(0.0);
        self.series.iter().map(last).fold(last_fix, f64::max)
    }
}

/// One position fix. What the file does not carry is `None`; nothing is made up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fix {
    /// Since time zero of the recording.
    pub time_s: f64,
    /// Geodetic latitude, degrees, north positive.
    pub latitude_deg: f64,
    /// Longitude, degrees, east positive.
    pub longitude_deg: f64,
    /// Height as the receiver gave it (see the datum), m.
    pub height_m: Option<f64>,
    /// Over the ground.
    pub ground_speed_mps: Option<f64>,
    /// Direction of motion over the ground from true north, [0, 360).
    pub track_deg: Option<f64>,
    /// Upwards.
    pub climb_mps: Option<f64>,
}

/// Samples of one sensor quantity in the unit its kind names.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What was measured.
    pub quantity: QuantityKind,
    /// Where it stands in the file: column name or record.
    pub origin: String,
    /// Since time zero, strictly increasing; same length as `values`.
    pub times_s: Vec<f64>,
    /// In the unit named by the kind.
    pub values: Vec<f64>,
}

/// What a series measures; the unit of its values is part of the name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum QuantityKind {
    /// Indicated airspeed, m/s.
    IndicatedAirspeedMps,
    /// Calibrated airspeed, m/s.
    CalibratedAirspeedMps,
    /// True airspeed, m/s.
    TrueAirspeedMps,
    /// Pressure altitude, m.
    PressureAltitudeM,
    /// Altitude on the day's altimeter setting, m.
    IndicatedAltitudeM,
    /// Static pressure, Pa.
    StaticPressurePa,
    /// Outside air temperature, K.
    OutsideAirTemperatureK,
    /// Bank, degrees, right positive.
    BankDeg,
    /// Pitch, degrees, up positive.
    PitchDeg,
    /// Heading from magnetic north, degrees, [0, 360).
    MagneticHeadingDeg,
    /// Heading from true north, degrees, [0, 360).
    TrueHeadingDeg,
    /// Vertical speed, m/s, up positive.
    VerticalSpeedMps,
    /// Specific force normal to the floor, g, one in level flight.
    NormalLoadG,
    /// Specific force to the right, g.
    LateralLoadG,
    /// Specific force forward, g.
    LongitudinalLoadG,
    /// Specific force along device axes, m/s2.
    DeviceForceXMps2,
    /// Specific force along device axes, m/s2.
    DeviceForceYMps2,
    /// Specific force along device axes, m/s2.
    DeviceForceZMps2,
    /// Rotation about device axes, rad/s.
    DeviceRateXRadps,
    /// Rotation about device axes, rad/s.
    DeviceRateYRadps,
    /// Rotation about device axes, rad/s.
    DeviceRateZRadps,
    /// Magnetic field along device axes, microtesla.
    DeviceFieldXMicrotesla,
    /// Magnetic field along device axes, microtesla.
    DeviceFieldYMicrotesla,
    /// Magnetic field along device axes, microtesla.
    DeviceFieldZMicrotesla,
    /// Body roll rate, rad/s.
    RollRateRadps,
    /// Body pitch rate, rad/s.
    PitchRateRadps,
    /// Body yaw rate, rad/s.
    YawRateRadps,
    /// Engine or propeller speed, rev/min.
    EngineSpeedRpm,
    /// Accuracy of the position over the ground as the receiver gave it, m; what it bounds differs between receivers.
    HorizontalAccuracyM,
    /// Wind speed as the recorder computed it, m/s: to compare with, no measurement.
    WindSpeedMps,
    /// Direction the wind comes from, from true north, as the recorder computed it, degrees.
    WindFromDeg,
}

impl QuantityKind {
    /// Stable key, name for people, and unit of the values.
    const fn words(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Self::IndicatedAirspeedMps => ("indicated-airspeed", "indicated airspeed", "m/s"),
            Self::CalibratedAirspeedMps => ("calibrated-airspeed", "calibrated airspeed", "m/s"),
            Self::TrueAirspeedMps => ("true-airspeed", "true airspeed", "m/s"),
            Self::PressureAltitudeM => ("pressure-altitude", "pressure altitude", "m"),
            Self::IndicatedAltitudeM => ("indicated-altitude", "indicated altitude", "m"),
            Self::StaticPressurePa => ("static-pressure", "static pressure", "Pa"),
            Self::OutsideAirTemperatureK => {
                ("outside-air-temperature", "outside air temperature", "K")
            }
            Self::BankDeg => ("bank", "bank", "°"),
            Self::PitchDeg => ("pitch", "pitch", "°"),
            Self::MagneticHeadingDeg => ("magnetic-heading", "magnetic heading", "°"),
            Self::TrueHeadingDeg => ("true-heading", "true heading", "°"),
            Self::VerticalSpeedMps => ("vertical-speed", "vertical speed", "m/s"),
            Self::NormalLoadG => ("normal-load", "normal load", "g"),
            Self::LateralLoadG => ("lateral-load", "lateral load", "g"),
            Self::LongitudinalLoadG => ("longitudinal-load", "longitudinal load", "g"),
            Self::DeviceForceXMps2 => ("device-force-x", "device force x", "m/s²"),
            Self::DeviceForceYMps2 => ("device-force-y", "device force y", "m/s²"),
            Self::DeviceForceZMps2 => ("device-force-z", "device force z", "m/s²"),
            Self::DeviceRateXRadps => ("device-rate-x", "device rotation x", "rad/s"),
            Self::DeviceRateYRadps => ("device-rate-y", "device rotation y", "rad/s"),
            Self::DeviceRateZRadps => ("device-rate-z", "device rotation z", "rad/s"),
            Self::DeviceFieldXMicrotesla => ("device-field-x", "magnetic field x", "µT"),
            Self::DeviceFieldYMicrotesla => ("device-field-y", "magnetic field y", "µT"),
            Self::DeviceFieldZMicrotesla => ("device-field-z", "magnetic field z", "µT"),
            Self::RollRateRadps => ("roll-rate", "roll rate", "rad/s"),
            Self::PitchRateRadps => ("pitch-rate", "pitch rate", "rad/s"),
            Self::YawRateRadps => ("yaw-rate", "yaw rate", "rad/s"),
            Self::EngineSpeedRpm => ("engine-speed", "engine speed", "rpm"),
            Self::HorizontalAccuracyM => ("horizontal-accuracy", "accuracy of the position", "m"),
            Self::WindSpeedMps => ("wind-speed", "wind speed", "m/s"),
            Self::WindFromDeg => ("wind-from", "wind from", "°"),
        }
    }
    /// Stable key, in words of the trade with hyphens: "indicated-airspeed".
    #[must_use]
    pub const fn key(self) -> &'static str {
        self.words().0
    }
    /// Name for people: "indicated airspeed".
    #[must_use]
    pub const fn title(self) -> &'static str {
        self.words().1
    }
    /// Unit of the values, as people write it: "m/s".
    #[must_use]
    pub const fn unit(self) -> &'static str {
        self.words().2
    }
    /// Whether it is a direction, whose values are in [0, 360).
    #[must_use]
    pub const fn is_direction(self) -> bool {
        matches!(self, Self::MagneticHeadingDeg | Self::TrueHeadingDeg | Self::WindFromDeg)
    }
    /// What an airplane that these lessons are flown in, its sensors, or a phone in it can show, in the unit of the kind.
    /// Values outside are faults of the recorder. Common practice, no source: wide of any flight, narrow enough to catch
    /// wrong units by a power of ten and cells gone astray.
    #[must_use]
    pub const fn plausible(self) -> std::ops::RangeInclusive<f64> {
        match self {
            Self::IndicatedAirspeedMps | Self::CalibratedAirspeedMps | Self::TrueAirspeedMps => {
                -20.0..=400.0
            }
            Self::PressureAltitudeM | Self::IndicatedAltitudeM => HEIGHT_PLAUSIBLE_M,
            Self::StaticPressurePa => 4000.0..=115_000.0,
            Self::OutsideAirTemperatureK => 180.0..=340.0,
            Self::BankDeg => -181.0..=181.0,
            Self::PitchDeg => -91.0..=91.0,
            Self::MagneticHeadingDeg | Self::TrueHeadingDeg | Self::WindFromDeg => -361.0..=721.0,
            Self::VerticalSpeedMps => CLIMB_PLAUSIBLE_MPS,
            Self::NormalLoadG | Self::LateralLoadG | Self::LongitudinalLoadG => -25.0..=25.0,
            Self::DeviceForceXMps2 | Self::DeviceForceYMps2 | Self::DeviceForceZMps2 => {
                -400.0..=400.0
            }
            Self::DeviceRateXRadps
            | Self::DeviceRateYRadps
            | Self::DeviceRateZRadps
            | Self::RollRateRadps
            | Self::PitchRateRadps
            | Self::YawRateRadps => -60.0..=60.0,
            Self::DeviceFieldXMicrotesla
            | Self::DeviceFieldYMicrotesla
            | Self::DeviceFieldZMicrotesla => -5000.0..=5000.0,
            Self::EngineSpeedRpm => -100.0..=60_000.0,
            Self::HorizontalAccuracyM => 0.0..=100_000.0,
            Self::WindSpeedMps => 0.0..=150.0,
        }
    }
}

/// Heights that the air model and these airplanes reach, m.
pub(crate) const HEIGHT_PLAUSIBLE_M: std::ops::RangeInclusive<f64> = -1000.0..=20_000.0;
/// Climb and sink of an airplane, m/s.
pub(crate) const CLIMB_PLAUSIBLE_MPS: std::ops::RangeInclusive<f64> = -200.0..=200.0;
/// Speed over the ground of an airplane, m/s.
pub(crate) const GROUND_SPEED_PLAUSIBLE_MPS: std::ops::RangeInclusive<f64> = 0.0..=400.0;

/// A hole in the fixes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Last sample before it.
    pub from_s: f64,
    /// First sample after it.
    pub to_s: f64,
}

/// What the heights of the fixes are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeightDatum {
    /// The file does not say.
    NotStated,
    /// Mean sea level.
    MeanSeaLevel,
    /// The ellipsoid.
    Ellipsoid,
    /// Pressure altitude stands in for it.
    Pressure,
}

/// Something worth telling about a recording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// What sort of thing.
    pub kind: NoteKind,
    /// One sentence for people, lower case, no final period.
    pub text: String,
}

/// Sorts of notes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoteKind {
    /// A unit or meaning was deduced, not read.
    Assumed,
    /// Something is not in this recording.
    Missing,
    /// Something odd was found (gap, jump, repeated or frozen value, clock step).
    Odd,
    /// Something was left out (a line, a column).
    LeftOut,
    /// Something was found that helps: how sensors go together, what an offset would be explained by.
    Found,
}
