//! `skychalk.reconstruction/1`: the most likely motion of a recording, with uncertainty, as columns.

use crate::brief::SAFETY_SENTENCE;
use crate::debrief::RecordingOut;
use crate::number::{EstimateColumn, rounded, seconds};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use motion::{Column, Motion};
use recording::Recording;
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.reconstruction/1";
const VALUE_DECIMALS: i32 = 3;

/// A reconstruction. Columns have the length of `time_s`; a column the recording cannot support is null, with a note.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Reconstruction {
    /// Always `skychalk.reconstruction/1`.
    pub schema: &'static str,
    /// The recording it is about.
    pub recording: RecordingOut,
    /// Origin of `north_m` and `east_m`.
    pub origin: Option<OriginOut>,
    /// Seconds from the first sample of the recording.
    pub time_s: Vec<f64>,
    /// Whether the airplane was flying.
    pub airborne: Vec<bool>,
    /// Over the ground from the origin, north.
    pub north_m: Option<EstimateColumn>,
    /// Over the ground from the origin, east.
    pub east_m: Option<EstimateColumn>,
    /// Height by the best source; the notes say its datum.
    pub height_ft: Option<EstimateColumn>,
    /// Speed over the ground.
    pub ground_speed_kt: Option<EstimateColumn>,
    /// Direction of motion over the ground from true north; does not jump at north.
    pub track_deg: Option<EstimateColumn>,
    /// Upwards.
    pub climb_mps: Option<EstimateColumn>,
    /// Where the nose points, from true north; does not jump at north.
    pub heading_deg: Option<EstimateColumn>,
    /// Bank, right positive.
    pub bank_deg: Option<EstimateColumn>,
    /// Pitch, up positive, absolute.
    pub pitch_deg: Option<EstimateColumn>,
    /// Pitch whose changes can be relied on, whose level cannot.
    pub pitch_relative_deg: Option<EstimateColumn>,
    /// Lift over weight.
    pub load_factor: Option<EstimateColumn>,
    /// Angle of attack; absent when neither the airplane nor a recorded pitch tells it.
    pub angle_of_attack_deg: Option<EstimateColumn>,
    /// Sideslip, positive with the wind from the right; only where a sensor shows it.
    pub sideslip_deg: Option<EstimateColumn>,
    /// Lateral specific force, right positive (the ball); only where a sensor shows it.
    pub lateral_load_g: Option<EstimateColumn>,
    /// Rotation about the forward axis of the body.
    pub roll_rate_degps: Option<EstimateColumn>,
    /// Rotation about the right axis of the body.
    pub pitch_rate_degps: Option<EstimateColumn>,
    /// Rotation about the down axis of the body.
    pub yaw_rate_degps: Option<EstimateColumn>,
    /// True airspeed.
    pub tas_kt: Option<EstimateColumn>,
    /// Calibrated airspeed.
    pub cas_kt: Option<EstimateColumn>,
    /// Velocity of the air over the ground, north (towards).
    pub wind_north_kt: Option<EstimateColumn>,
    /// Velocity of the air over the ground, east (towards).
    pub wind_east_kt: Option<EstimateColumn>,
    /// Constants of the sensors found with the motion: delays, biases, mounting, altimeter setting.
    pub offsets: Vec<OffsetOut>,
    /// What could not be had, what was assumed, and cautions.
    pub notes: Vec<String>,
}

/// The origin of the map.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OriginOut {
    /// Geodetic latitude, north positive.
    pub latitude_deg: f64,
    /// Longitude, east positive.
    pub longitude_deg: f64,
}

/// A constant of a sensor, found.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OffsetOut {
    /// The sensor.
    pub sensor: String,
    /// What of it: delay, bias, mounting, altimeter setting.
    pub what: &'static str,
    /// Unit of value and sigma.
    pub unit: &'static str,
    /// Found.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
}

impl From<&motion::Offset> for OffsetOut {
    fn from(offset: &motion::Offset) -> Self {
        Self {
            sensor: offset.sensor.clone(),
            what: offset.what,
            unit: offset.unit,
            value: rounded(offset.value, 4),
            sigma: rounded(offset.sigma, 5),
        }
    }
}

impl Reconstruction {
    /// The document of a motion found from a recording.
    #[must_use]
    pub fn new(recording: &Recording, motion: &Motion) -> Self {
        let texts = recording.notes.iter().chain(&motion.notes).map(|note| note.text.clone());
        Self {
            schema: SCHEMA,
            recording: RecordingOut::from(recording),
            origin: motion.origin.map(|origin| OriginOut {
                latitude_deg: rounded(origin.latitude_rad / RAD_PER_DEG, 7),
                longitude_deg: rounded(origin.longitude_rad / RAD_PER_DEG, 7),
            }),
            time_s: motion.time_s.iter().map(|&time_s| seconds(time_s)).collect(),
            airborne: motion.airborne.clone(),
            north_m: column(&motion.north_m, 1.0),
            east_m: column(&motion.east_m, 1.0),
            height_ft: column(&motion.height_m, M_PER_FT),
            ground_speed_kt: column(&motion.ground_speed_mps, MPS_PER_KT),
            track_deg: column(&motion.track_rad, RAD_PER_DEG),
            climb_mps: column(&motion.climb_mps, 1.0),
            heading_deg: column(&motion.heading_rad, RAD_PER_DEG),
            bank_deg: column(&motion.bank_rad, RAD_PER_DEG),
            pitch_deg: column(&motion.pitch_rad, RAD_PER_DEG),
            pitch_relative_deg: column(&motion.pitch_relative_rad, RAD_PER_DEG),
            load_factor: column(&motion.load_factor, 1.0),
            angle_of_attack_deg: column(&motion.angle_of_attack_rad, RAD_PER_DEG),
            sideslip_deg: column(&motion.sideslip_rad, RAD_PER_DEG),
            lateral_load_g: column(&motion.lateral_load, 1.0),
            roll_rate_degps: column(&motion.roll_rate_radps, RAD_PER_DEG),
            pitch_rate_degps: column(&motion.pitch_rate_radps, RAD_PER_DEG),
            yaw_rate_degps: column(&motion.yaw_rate_radps, RAD_PER_DEG),
            tas_kt: column(&motion.true_airspeed_mps, MPS_PER_KT),
            cas_kt: column(&motion.calibrated_airspeed_mps, MPS_PER_KT),
            wind_north_kt: column(&motion.wind_north_mps, MPS_PER_KT),
            wind_east_kt: column(&motion.wind_east_mps, MPS_PER_KT),
            offsets: motion.offsets.iter().map(OffsetOut::from).collect(),
            notes: texts.chain([SAFETY_SENTENCE.to_string()]).collect(),
        }
    }

    /// A value as tables give it: directions, which do not jump at north in the document, in [0, 360).
    #[must_use]
    pub fn in_tables(name: &str, value: f64) -> f64 {
        if !["track_deg", "heading_deg"].contains(&name) {
            return value;
        }
        let turned = rounded(value.rem_euclid(360.0), VALUE_DECIMALS);
        if turned >= 360.0 { 0.0 } else { turned }
    }

    /// The columns that are there, by name with the unit last, in the order of the document.
    #[must_use]
    pub fn columns(&self) -> Vec<(&'static str, &EstimateColumn)> {
        [
            ("north_m", &self.north_m),
            ("east_m", &self.east_m),
            ("height_ft", &self.height_ft),
            ("ground_speed_kt", &self.ground_speed_kt),
            ("track_deg", &self.track_deg),
            ("climb_mps", &self.climb_mps),
            ("heading_deg", &self.heading_deg),
            ("bank_deg", &self.bank_deg),
            ("pitch_deg", &self.pitch_deg),
            ("pitch_relative_deg", &self.pitch_relative_deg),
            ("load_factor", &self.load_factor),
            ("angle_of_attack_deg", &self.angle_of_attack_deg),
            ("sideslip_deg", &self.sideslip_deg),
            ("lateral_load_g", &self.lateral_load_g),
            ("roll_rate_degps", &self.roll_rate_degps),
            ("pitch_rate_degps", &self.pitch_rate_degps),
            ("yaw_rate_degps", &self.yaw_rate_degps),
            ("tas_kt", &self.tas_kt),
            ("cas_kt", &self.cas_kt),
            ("wind_north_kt", &self.wind_north_kt),
            ("wind_east_kt", &self.wind_east_kt),
        ]
        .into_iter()
        .filter_map(|(name, column)| Some((name, column.as_ref()?)))
        .collect()
    }
}

fn column(column: &Option<Column>, scale: f64) -> Option<EstimateColumn> {
    column.as_ref().map(|column| EstimateColumn {
        value: column.value.iter().map(|value| rounded(value / scale, VALUE_DECIMALS)).collect(),
        sigma: column.sigma.iter().map(|sigma| rounded(sigma / scale, 4)).collect(),
    })
}
