//! Tables of one sensor of a phone, whose columns are only called x, y, z or value: which sensor it is stands in the name
//! of the file or in a column of its own.

use super::header::words;

/// A sensor of a phone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SensorHint {
    /// Accelerometer: gravity is in it.
    Acceleration,
    /// Acceleration with gravity taken off by the phone.
    LinearAcceleration,
    /// The phone's own estimate of gravity.
    Gravity,
    /// Gyroscope.
    Rotation,
    /// Magnetometer.
    MagneticField,
    /// Barometer.
    Pressure,
    /// Satellite receiver.
    Location,
    /// The phone's own attitude, in axes of its own.
    Orientation,
}

/// Words in names of files and sensors, the more special first.
const NAMES: &[(SensorHint, &[&str])] = &[
    (
        SensorHint::LinearAcceleration,
        &[
            "linear acceleration",
            "linear accelerometer",
            "linear",
            "user acceleration",
            "no gravity",
            "without g",
        ],
    ),
    (SensorHint::Gravity, &["gravity"]),
    (SensorHint::Orientation, &["orientation", "attitude", "rotation vector", "quaternion"]),
    (
        SensorHint::Acceleration,
        &["acceleration", "accelerometer", "accel", "acc", "total acceleration"],
    ),
    (SensorHint::Rotation, &["gyroscope", "gyro", "rotation rate", "rotation", "angular velocity"]),
    (SensorHint::MagneticField, &["magnetometer", "magnetic field", "magnetic", "mag", "compass"]),
    (SensorHint::Pressure, &["barometer", "pressure", "baro", "barometric"]),
    (SensorHint::Location, &["location", "gps", "gnss", "position"]),
];

impl SensorHint {
    /// The sensor a name of a file or of a sensor speaks of: "Gyroscope.csv", "android.sensor.linear_acceleration".
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
        let stem = file.strip_suffix(".csv").or_else(|| file.strip_suffix(".txt")).unwrap_or(file);
        let stem = words(stem).join(" ");
        let all = format!(" {stem} ");
        let holds = |word: &str| all.contains(&format!(" {word} "));
        NAMES.iter().find(|(_, names)| names.iter().any(|name| holds(name))).map(|(hint, _)| *hint)
    }
}
