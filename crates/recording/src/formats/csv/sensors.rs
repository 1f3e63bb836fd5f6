//! Tables of one sensor of a phone, whose columns are only called x, y, z or value: which sensor it is stands in the name
//! of the file or in a column of its own. Units where the header is silent: W3C Generic Sensor (rotation in rad/s, magnetic
//! field in microtesla) and Geolocation (meters, m/s); accelerations come in m/s2 or g and are told by their length.

use super::header::words;
use std::borrow::Cow;

#[cfg(test)]
mod tests;

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

/// Names of sensors for columns that are only called by an axis: sensor, word before the axis, unit.
const AXES: &[(SensorHint, &str, &str)] = &[
    (SensorHint::LinearAcceleration, "linear acceleration", ""),
    (SensorHint::Gravity, "gravity", ""),
    (SensorHint::Acceleration, "acc", ""),
    (SensorHint::Rotation, "gyro", " (rad/s)"),
    (SensorHint::MagneticField, "mag", " (µT)"),
];
/// Columns of a location: as the file calls them, as they are known, and the unit of the standard where none is stated.
const OF_LOCATION: &[(&str, &str, &str)] = &[
    ("altitude", "altitude", "(m)"),
    ("height", "altitude", "(m)"),
    ("speed", "speed", "(m/s)"),
    ("velocity", "speed", "(m/s)"),
    ("heading", "course", "(deg)"),
    ("direction", "course", "(deg)"),
    ("bearing", "course", "(deg)"),
    ("horizontalaccuracy", "horizontal accuracy", "(m)"),
];
/// The names stand among so many first lines.
const LINES_MOST: usize = 20;
/// Longest line of names, bytes.
const NAMES_MOST: usize = 1 << 16;

/// A table of one sensor with the names of its columns written out, and what was done; anything else as it is.
pub(crate) fn with_names(
    bytes: &[u8],
    hint: Option<SensorHint>,
) -> (Cow<'_, [u8]>, Option<String>) {
    let unchanged = (Cow::Borrowed(bytes), None);
    let Some(hint) = hint else { return unchanged };
    let mut at = 0;
    for _ in 0..LINES_MOST {
        let Some(length) = bytes[at..].iter().position(|&byte| byte == b'\n') else { break };
        let line = &bytes[at..at + length];
        if let Some(text) = std::str::from_utf8(line).ok().filter(|line| line.len() <= NAMES_MOST) {
            for delimiter in [',', ';', '\t'] {
                if let Some(names) = written_out(text, delimiter, hint) {
                    let bytes = [&bytes[..at], names.as_bytes(), &bytes[at + length..]].concat();
                    let said = format!(
                        "columns named by the sensor of the file: {}",
                        names.trim().trim_start_matches('\u{feff}')
                    );
                    return (Cow::Owned(bytes), Some(said));
                }
            }
        }
        at += length + 1;
    }
    unchanged
}

/// The line of names written out, if it is one of this sensor.
fn written_out(line: &str, delimiter: char, hint: SensorHint) -> Option<String> {
    let cells: Vec<&str> = line.trim_end().split(delimiter).collect();
    let bare = |cell: &str| {
        let cell = cell.trim().trim_start_matches('\u{feff}').trim_matches('"');
        let (name, unit) = cell.split_at(cell.find(['(', '[']).unwrap_or(cell.len()));
        (name.trim().to_lowercase(), unit.trim().to_owned())
    };
    let axis = |name: &str| ["x", "y", "z"].contains(&name);
    let mut changed = 0;
    let sensor = AXES.iter().find(|(of, ..)| *of == hint);
    let named: Vec<Cow<'_, str>> = cells
        .iter()
        .map(|cell| {
            let (name, unit) = bare(cell);
            let new = match (sensor, hint) {
                (Some((_, word, standard)), _) if axis(&name) => {
                    let unit =
                        if unit.is_empty() { (*standard).to_owned() } else { format!(" {unit}") };
                    Some(format!("{word} {name}{unit}"))
                }
                (_, SensorHint::Pressure) if name == "value" || name == "x" => {
                    Some(format!("pressure {unit}"))
                }
                (_, SensorHint::Location) => {
                    let known = OF_LOCATION.iter().find(|(of, ..)| *of == name);
                    known.map(|(_, word, standard)| {
                        let unit = if unit.is_empty() { *standard } else { unit.as_str() };
                        format!("{word} {unit}")
                    })
                }
                _ => None,
            };
            changed += usize::from(new.is_some());
            new.map_or(Cow::Borrowed(*cell), Cow::Owned)
        })
        .collect();
    let all_axes = sensor.is_none() || changed == 3;
    (cells.len() > 1 && changed > 0 && all_axes).then(|| named.join(&delimiter.to_string()))
}
