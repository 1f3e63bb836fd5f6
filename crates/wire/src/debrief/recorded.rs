//! What was recorded.

use crate::number::seconds;
use recording::{QuantityKind, Recording};
use schemars::JsonSchema;
use serde::Serialize;

/// A recording.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecordingOut {
    /// Name of the file.
    pub file: String,
    /// Key of the format it was read by.
    pub format: &'static str,
    /// Instant of time zero, when the file says it (RFC 3339, UTC).
    pub start: Option<String>,
    /// Last sample, seconds from the first.
    pub duration_s: f64,
    /// What recorded: `gnss`, `airspeed`, `pressure`, `temperature`, `attitude`, `heading`, `force`, `rotation`, `engine`.
    pub sensors: Vec<&'static str>,
}

impl From<&Recording> for RecordingOut {
    fn from(recording: &Recording) -> Self {
        Self {
            file: recording.name.clone(),
            format: recording.format,
            start: recording.start.map(|start| start.to_string()),
            duration_s: seconds(recording.duration_s()),
            sensors: sensors(recording),
        }
    }
}

/// The sorts of sensors of a recording, in a fixed order, each once.
#[must_use]
pub fn sensors(recording: &Recording) -> Vec<&'static str> {
    const ORDER: [&str; 11] = [
        "gnss",
        "airspeed",
        "pressure",
        "temperature",
        "attitude",
        "heading",
        "force",
        "rotation",
        "magnetometer",
        "engine",
        "wind",
    ];
    let mut seen: Vec<&str> = recording.series.iter().map(|s| sensor(s.quantity)).collect();
    if !recording.fixes.is_empty() {
        seen.push("gnss");
    }
    ORDER.into_iter().filter(|name| seen.contains(name)).collect()
}

fn sensor(quantity: QuantityKind) -> &'static str {
    use QuantityKind as Q;
    match quantity {
        Q::IndicatedAirspeedMps | Q::CalibratedAirspeedMps | Q::TrueAirspeedMps => "airspeed",
        Q::PressureAltitudeM
        | Q::IndicatedAltitudeM
        | Q::StaticPressurePa
        | Q::VerticalSpeedMps => "pressure",
        Q::OutsideAirTemperatureK => "temperature",
        Q::BankDeg | Q::PitchDeg => "attitude",
        Q::MagneticHeadingDeg | Q::TrueHeadingDeg => "heading",
        Q::NormalLoadG
        | Q::LateralLoadG
        | Q::LongitudinalLoadG
        | Q::DeviceForceXMps2
        | Q::DeviceForceYMps2
        | Q::DeviceForceZMps2 => "force",
        Q::DeviceRateXRadps
        | Q::DeviceRateYRadps
        | Q::DeviceRateZRadps
        | Q::RollRateRadps
        | Q::PitchRateRadps
        | Q::YawRateRadps => "rotation",
        Q::DeviceFieldXMicrotesla | Q::DeviceFieldYMicrotesla | Q::DeviceFieldZMicrotesla => {
            "magnetometer"
        }
        Q::EngineSpeedRpm => "engine",
        Q::HorizontalAccuracyM => "gnss",
        Q::WindSpeedMps | Q::WindFromDeg => "wind",
    }
}
