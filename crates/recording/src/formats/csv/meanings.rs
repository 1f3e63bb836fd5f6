//! What a column can mean, the header words it is known by, and the units it can come in: one row each.
//! A new name for a known thing is one more phrase in `MEANINGS`; a new unit is one more row in `UNITS`.

use crate::normal::QuantityKind as Q;
use base::factors::{
    F_AT_ZERO_C, K_AT_ZERO_C, K_PER_F, M_PER_FT, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT, MPS_PER_MPH,
    PA_PER_HPA, PA_PER_INHG, RAD_PER_DEG, STANDARD_GRAVITY_MPS2,
};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meaning {
    /// Date and time in one cell, or seconds since 1970.
    Stamp,
    /// The moment the satellite fix belongs to, where rows come more often than fixes.
    FixStamp,
    /// Seconds from an unstated moment.
    Elapsed,
    /// Calendar date.
    Date,
    /// Time of day, of the zone the offset names.
    TimeOfDay,
    /// Time of day in UTC.
    UtcTimeOfDay,
    /// What to take off local time to get UTC.
    UtcOffset,
    /// Geodetic latitude.
    Latitude,
    /// Longitude.
    Longitude,
    /// Height by the satellite receiver.
    FixHeight,
    /// Height the file only calls altitude or height.
    Height,
    /// Height above mean sea level.
    SeaLevelHeight,
    /// Over the ground.
    GroundSpeed,
    /// Direction over the ground, true.
    Track,
    /// Vertical speed by the satellite receiver.
    FixClimb,
    /// Velocity to the east.
    VelocityEast,
    /// Velocity to the north.
    VelocityNorth,
    /// Acceleration along a device axis (0 x, 1 y, 2 z) from which the device has taken gravity off.
    Linear(u8),
    /// Gravity along a device axis as the device estimates it.
    Gravity(u8),
    /// Any other sensor.
    Sensor(Q),
}

/// What sort of unit a meaning takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Clock readings.
    Time,
    /// Degrees.
    Angle,
    /// Meters.
    Length,
    /// Meters per second.
    Speed,
    /// Pascals.
    Pressure,
    /// Kelvin.
    Temperature,
    /// g for body axes.
    Load,
    /// m/s2 for device axes.
    Acceleration,
    /// Radians per second.
    Rate,
    /// Microtesla.
    MagneticField,
    /// Revolutions per minute.
    Revolutions,
}

impl Meaning {
    /// Stable key, as a map of columns writes it.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Stamp => "date-and-time",
            Self::FixStamp => "time-of-fix",
            Self::Elapsed => "elapsed-time",
            Self::Date => "date",
            Self::TimeOfDay => "time-of-day",
            Self::UtcTimeOfDay => "utc-time-of-day",
            Self::UtcOffset => "utc-offset",
            Self::Latitude => "latitude",
            Self::Longitude => "longitude",
            Self::FixHeight => "satellite-height",
            Self::Height => "height",
            Self::SeaLevelHeight => "height-above-sea-level",
            Self::GroundSpeed => "ground-speed",
            Self::Track => "track",
            Self::FixClimb => "satellite-vertical-speed",
            Self::VelocityEast => "velocity-east",
            Self::VelocityNorth => "velocity-north",
            Self::Linear(0) => "device-acceleration-without-gravity-x",
            Self::Linear(1) => "device-acceleration-without-gravity-y",
            Self::Linear(_) => "device-acceleration-without-gravity-z",
            Self::Gravity(0) => "device-gravity-x",
            Self::Gravity(1) => "device-gravity-y",
            Self::Gravity(_) => "device-gravity-z",
            Self::Sensor(quantity) => quantity.key(),
        }
    }
    /// The dimension of its values.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        match self {
            Self::Stamp
            | Self::FixStamp
            | Self::Elapsed
            | Self::Date
            | Self::TimeOfDay
            | Self::UtcTimeOfDay
            | Self::UtcOffset => Dimension::Time,
            Self::Latitude | Self::Longitude | Self::Track => Dimension::Angle,
            Self::FixHeight | Self::Height | Self::SeaLevelHeight => Dimension::Length,
            Self::GroundSpeed | Self::FixClimb | Self::VelocityEast | Self::VelocityNorth => {
                Dimension::Speed
            }
            Self::Linear(_) | Self::Gravity(_) => Dimension::Acceleration,
            Self::Sensor(quantity) => dimension_of(quantity),
        }
    }
    /// Whether a fix is made of it: an unknown unit there is an error, elsewhere only a column less.
    #[must_use]
    pub fn of_fix(self) -> bool {
        !matches!(self, Self::Sensor(_) | Self::Linear(_) | Self::Gravity(_))
    }
}

fn dimension_of(quantity: Q) -> Dimension {
    match quantity {
        Q::IndicatedAirspeedMps
        | Q::CalibratedAirspeedMps
        | Q::TrueAirspeedMps
        | Q::VerticalSpeedMps
        | Q::WindSpeedMps => Dimension::Speed,
        Q::PressureAltitudeM | Q::IndicatedAltitudeM | Q::HorizontalAccuracyM => Dimension::Length,
        Q::StaticPressurePa => Dimension::Pressure,
        Q::OutsideAirTemperatureK => Dimension::Temperature,
        Q::BankDeg | Q::PitchDeg | Q::MagneticHeadingDeg | Q::TrueHeadingDeg | Q::WindFromDeg => {
            Dimension::Angle
        }
        Q::NormalLoadG | Q::LateralLoadG | Q::LongitudinalLoadG => Dimension::Load,
        Q::DeviceForceXMps2 | Q::DeviceForceYMps2 | Q::DeviceForceZMps2 => Dimension::Acceleration,
        Q::DeviceRateXRadps
        | Q::DeviceRateYRadps
        | Q::DeviceRateZRadps
        | Q::RollRateRadps
        | Q::PitchRateRadps
        | Q::YawRateRadps => Dimension::Rate,
        Q::DeviceFieldXMicrotesla | Q::DeviceFieldYMicrotesla | Q::DeviceFieldZMicrotesla => {
            Dimension::MagneticField
        }
        Q::EngineSpeedRpm => Dimension::Revolutions,
    }
}

/// Header words of each meaning, lower case, as [`super::header::words`] makes them. The longest phrase that ends a
/// header wins; what stands before it must be one of [`NEUTRAL`].
pub(crate) const MEANINGS: &[(Meaning, &[&str])] = &[
    (
        Meaning::Stamp,
        &[
            "timestamp",
            "time stamp",
            "datetime",
            "date time",
            "utc",
            "unix time",
            "epoch",
            "logging time",
        ],
    ),
    (Meaning::FixStamp, &["location timestamp", "fix time", "gps timestamp", "location time"]),
    (Meaning::Elapsed, &["elapsed", "elapsed time", "t", "time", "seconds", "seconds elapsed"]),
    (Meaning::Date, &["date", "utc date", "lcl date", "local date", "day"]),
    (Meaning::TimeOfDay, &["lcl time", "local time", "time of day"]),
    (Meaning::UtcTimeOfDay, &["utc time", "gps time", "zulu"]),
    (Meaning::UtcOffset, &["utc offset", "utc ofst", "utcofst", "time zone offset"]),
    (Meaning::Latitude, &["lat", "latitude"]),
    (Meaning::Longitude, &["lon", "lng", "long", "longitude"]),
    (
        Meaning::FixHeight,
        &["gps alt", "alt gps", "gps altitude", "gnss altitude", "gps height", "location altitude"],
    ),
    (Meaning::Height, &["alt", "altitude", "height", "ele", "elevation"]),
    (
        Meaning::SeaLevelHeight,
        &["alt msl", "altitude msl", "msl altitude", "height msl", "msl", "alt amsl"],
    ),
    (
        Meaning::GroundSpeed,
        &[
            "gs",
            "gnd spd",
            "ground speed",
            "groundspeed",
            "speed",
            "vel",
            "velocity",
            "location speed",
        ],
    ),
    (
        Meaning::Track,
        &["track", "trk", "course", "cog", "bearing", "ground track", "trk true", "track true"],
    ),
    (
        Meaning::FixClimb,
        &["gps vs", "v spd g", "gps vertical speed", "gps vel u", "vel up", "gps velocity u"],
    ),
    (Meaning::VelocityEast, &["vel east", "gps vel e", "gps velocity e", "velocity east"]),
    (Meaning::VelocityNorth, &["vel north", "gps vel n", "gps velocity n", "velocity north"]),
    (Meaning::Sensor(Q::IndicatedAirspeedMps), &["ias", "indicated airspeed", "airspeed"]),
    (Meaning::Sensor(Q::CalibratedAirspeedMps), &["cas", "calibrated airspeed"]),
    (Meaning::Sensor(Q::TrueAirspeedMps), &["tas", "true airspeed"]),
    (
        Meaning::Sensor(Q::PressureAltitudeM),
        &["press alt", "pressure altitude", "pressure alt", "palt", "alt p", "dadc alt", "adc alt"],
    ),
    (
        Meaning::Sensor(Q::IndicatedAltitudeM),
        &["alt b", "alt ind", "baro altitude", "indicated altitude", "baro alt", "alt baro"],
    ),
    (
        Meaning::Sensor(Q::StaticPressurePa),
        &["static pressure", "pressure", "p static", "altimeter pressure", "baro pressure"],
    ),
    (
        Meaning::Sensor(Q::OutsideAirTemperatureK),
        &["oat", "outside air temperature", "sat", "static air temperature"],
    ),
    (Meaning::Sensor(Q::BankDeg), &["roll", "bank", "bank angle", "roll angle"]),
    (Meaning::Sensor(Q::PitchDeg), &["pitch", "pitch angle"]),
    (
        Meaning::Sensor(Q::MagneticHeadingDeg),
        &["hdg", "hdg mag", "mag hdg", "heading mag", "magnetic heading", "heading magnetic"],
    ),
    (Meaning::Sensor(Q::TrueHeadingDeg), &["true heading", "heading true", "hdg true"]),
    (
        Meaning::Sensor(Q::VerticalSpeedMps),
        &[
            "vs",
            "v spd",
            "vertical speed",
            "vsi",
            "climb",
            "climb rate",
            "vertical rate",
            "alt rate",
            "vario",
        ],
    ),
    (
        Meaning::Sensor(Q::NormalLoadG),
        &[
            "norm ac",
            "norm acc",
            "normal acceleration",
            "vertical g",
            "normal g",
            "load factor",
            "nz",
        ],
    ),
    (
        Meaning::Sensor(Q::LateralLoadG),
        &["lat ac", "lat acc", "lateral acceleration", "lateral g", "ny"],
    ),
    (
        Meaning::Sensor(Q::LongitudinalLoadG),
        &["forward g", "longitudinal acceleration", "longitudinal g", "long acc", "nx"],
    ),
    (Meaning::Sensor(Q::RollRateRadps), &["roll rate"]),
    (Meaning::Sensor(Q::PitchRateRadps), &["pitch rate"]),
    (Meaning::Sensor(Q::YawRateRadps), &["yaw rate"]),
    (
        Meaning::Sensor(Q::EngineSpeedRpm),
        &["rpm", "eng rpm", "engine rpm", "engine speed", "e1 rpm"],
    ),
    (
        Meaning::Sensor(Q::HorizontalAccuracyM),
        &["horizontal accuracy", "h accuracy", "hacc", "h acc", "fix accuracy", "gps accuracy"],
    ),
];

/// Vectors along the axes of a device, x, y, z: words before the axis or after it (`acc x`, `x acceleration`, `acc x axis`), and
/// words that the axis is written to (`ax`).
pub(crate) const VECTORS: &[([Meaning; 3], &[&str], &[&str])] = &[
    (
        [Meaning::Linear(0), Meaning::Linear(1), Meaning::Linear(2)],
        &[
            "linear acceleration",
            "user acceleration",
            "linear accelerometer",
            "lin acc",
            "linear acc",
            "user accel",
            "linear accel",
        ],
        &[],
    ),
    ([Meaning::Gravity(0), Meaning::Gravity(1), Meaning::Gravity(2)], &["gravity", "grav"], &[]),
    (
        [
            Meaning::Sensor(Q::DeviceForceXMps2),
            Meaning::Sensor(Q::DeviceForceYMps2),
            Meaning::Sensor(Q::DeviceForceZMps2),
        ],
        &[
            "acc",
            "a",
            "accel",
            "acceleration",
            "accelerometer",
            "specific force",
            "g force",
            "total acceleration",
        ],
        &["a", "acc", "accel"],
    ),
    (
        [
            Meaning::Sensor(Q::DeviceRateXRadps),
            Meaning::Sensor(Q::DeviceRateYRadps),
            Meaning::Sensor(Q::DeviceRateZRadps),
        ],
        &[
            "gyro",
            "gyroscope",
            "q",
            "rotation",
            "rotation rate",
            "angular velocity",
            "angular rate",
            "angular speed",
            "omega",
            "rot rate",
        ],
        &["gyro", "omega"],
    ),
    (
        [
            Meaning::Sensor(Q::DeviceFieldXMicrotesla),
            Meaning::Sensor(Q::DeviceFieldYMicrotesla),
            Meaning::Sensor(Q::DeviceFieldZMicrotesla),
        ],
        &[
            "mag",
            "magnetic field",
            "magnetometer",
            "magnetic",
            "geomagnetic field",
            "geomagnetic",
            "magnetic flux",
            "compass",
            // a heading along an axis is the field that headings are made of
            "heading",
        ],
        &["mag", "magnetometer"],
    ),
];

/// Every meaning that has a name in a header.
pub(crate) fn all() -> impl Iterator<Item = Meaning> {
    let of_vectors = VECTORS.iter().flat_map(|(meanings, ..)| *meanings);
    MEANINGS.iter().map(|(meaning, _)| *meaning).chain(of_vectors)
}

/// Words that say where a value comes from and do not change what it is.
pub(crate) const NEUTRAL: &[&str] = &[
    "gps",
    "gnss",
    "location",
    "ahrs",
    "dadc",
    "adc",
    "imu",
    "ins",
    "nav",
    "body",
    "b",
    "sensor",
    "device",
    "recorded",
    "measured",
    "accelerometer",
    "gyro",
    "current",
];

/// Units of a dimension: spelling in lower case, factor and offset to the unit of the dimension.
pub(crate) const UNITS: &[(Dimension, &[&str], f64, f64)] = &[
    (Dimension::Time, &["s", "sec", "secs", "second", "seconds"], 1.0, 0.0),
    (Dimension::Time, &["ms", "msec", "millis", "milliseconds"], 1e-3, 0.0),
    (Dimension::Time, &["us", "µs", "microseconds"], 1e-6, 0.0),
    (Dimension::Time, &["ns", "nanoseconds"], 1e-9, 0.0),
    (Dimension::Time, &["min", "minutes"], 60.0, 0.0),
    (Dimension::Angle, &["deg", "degree", "degrees", "°", "wgs84"], 1.0, 0.0),
    (Dimension::Angle, &["rad", "radians"], 1.0 / RAD_PER_DEG, 0.0),
    (Dimension::Angle, &["1e-7deg", "degx1e7", "dege7", "e7"], 1e-7, 0.0),
    (Dimension::Length, &["m", "meter", "meters", "metre", "metres", "mtr"], 1.0, 0.0),
    (Dimension::Length, &["cm"], 1e-2, 0.0),
    (Dimension::Length, &["mm"], 1e-3, 0.0),
    (Dimension::Length, &["km"], 1e3, 0.0),
    (Dimension::Length, &["ft", "feet", "foot"], M_PER_FT, 0.0),
    (Dimension::Speed, &["m/s", "mps", "ms", "m/sec", "m s-1", "meters/second"], 1.0, 0.0),
    (Dimension::Speed, &["cm/s"], 1e-2, 0.0),
    (Dimension::Speed, &["mm/s"], 1e-3, 0.0),
    (Dimension::Speed, &["kt", "kts", "knot", "knots", "kn"], MPS_PER_KT, 0.0),
    (Dimension::Speed, &["mkt", "millikt", "0.001kt"], 1e-3 * MPS_PER_KT, 0.0),
    (Dimension::Speed, &["km/h", "kmh", "kph", "kmph"], MPS_PER_KMH, 0.0),
    (Dimension::Speed, &["mph", "mi/h"], MPS_PER_MPH, 0.0),
    (Dimension::Speed, &["fpm", "ft/min", "feet/min"], MPS_PER_FPM, 0.0),
    (Dimension::Speed, &["ft/s", "fps"], M_PER_FT, 0.0),
    (Dimension::Pressure, &["Pa", "pa"], 1.0, 0.0),
    (Dimension::Pressure, &["hPa", "hpa", "mbar", "mb"], PA_PER_HPA, 0.0),
    (Dimension::Pressure, &["kPa", "kpa"], 1e3, 0.0),
    (Dimension::Pressure, &["inHg", "inhg", "inch hg", "in hg"], PA_PER_INHG, 0.0),
    (Dimension::Temperature, &["°C", "°c", "c", "degc", "deg c", "celsius"], 1.0, K_AT_ZERO_C),
    (Dimension::Temperature, &["K", "k", "kelvin"], 1.0, 0.0),
    (
        Dimension::Temperature,
        &["°F", "°f", "f", "degf", "deg f", "fahrenheit"],
        K_PER_F,
        K_AT_ZERO_C - F_AT_ZERO_C * K_PER_F,
    ),
    (Dimension::Load, &["g", "gs"], 1.0, 0.0),
    (Dimension::Load, &["m/s2", "m/s^2", "m/s²", "mps2"], 1.0 / STANDARD_GRAVITY_MPS2, 0.0),
    (Dimension::Acceleration, &["m/s2", "m/s^2", "m/s²", "mps2"], 1.0, 0.0),
    (Dimension::Acceleration, &["g", "gs"], STANDARD_GRAVITY_MPS2, 0.0),
    (Dimension::Rate, &["rad/s", "radps", "rads", "rad/sec"], 1.0, 0.0),
    (Dimension::Rate, &["deg/s", "dps", "degps", "°/s", "deg/sec"], RAD_PER_DEG, 0.0),
    (Dimension::MagneticField, &["µT", "µt", "ut", "μt", "microtesla"], 1.0, 0.0),
    (Dimension::MagneticField, &["T", "t", "tesla"], 1e6, 0.0),
    (Dimension::MagneticField, &["mG", "mg", "milligauss", "mgauss"], 0.1, 0.0),
    (Dimension::MagneticField, &["gauss"], 100.0, 0.0),
    (Dimension::Revolutions, &["rpm", "1/min", "rev/min"], 1.0, 0.0),
];

/// Words in brackets that are no unit.
pub(crate) const NOT_UNITS: &[&str] =
    &["txt", "n", "z", "bool", "yyyy-mm-dd", "hh:mm:ss", "hh:mm", "utc", "true", "wgs84"];

/// A unit as found: how it is spelled and how to reach the unit of its dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// As the table spells it.
    pub name: &'static str,
    /// Multiply by this,
    pub factor: f64,
    /// then add this.
    pub offset: f64,
}

/// Looks a unit up; case and blanks around do not matter.
pub(crate) fn unit(dimension: Dimension, text: &str) -> Option<Unit> {
    let text = text.trim().to_lowercase();
    UNITS
        .iter()
        .find(|(of, names, ..)| *of == dimension && names.contains(&text.as_str()))
        .map(|(_, names, factor, offset)| Unit { name: names[0], factor: *factor, offset: *offset })
}

/// The units of a dimension, for hints.
pub(crate) fn unit_names(dimension: Dimension) -> String {
    let of = UNITS.iter().filter(|(of, ..)| *of == dimension);
    of.map(|(_, names, ..)| names[0]).collect::<Vec<_>>().join(", ")
}
