//! The reconstructed motion: equal-length columns over one time grid, each value with its standard deviation.

use base::geodesy::Geodetic;
use recording::{Gap, Note};

/// Values over the time grid of the motion, each with one standard deviation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Column {
    /// The most likely value.
    pub value: Vec<f64>,
    /// One standard deviation of its error.
    pub sigma: Vec<f64>,
}

impl Column {
    /// Value and sigma at a fractional position between two samples, by linear interpolation.
    #[must_use]
    pub fn at(&self, place: Place) -> (f64, f64) {
        let Place { index, fraction } = place;
        let next = (index + 1).min(self.value.len() - 1);
        let mix = |column: &[f64]| column[index] * (1.0 - fraction) + column[next] * fraction;
        (mix(&self.value), mix(&self.sigma))
    }
}

/// A constant of a sensor found with the motion.
#[derive(Debug, Clone, PartialEq)]
pub struct Offset {
    /// The sensor, as people call it: "recorded bank", "device accelerometer x".
    pub sensor: String,
    /// What of it: "delay", "bias", "mounting roll", "altimeter setting".
    pub what: &'static str,
    /// Unit of value and sigma: "s", "deg", "m/s2", "hPa".
    pub unit: &'static str,
    /// Found.
    pub value: f64,
    /// One standard deviation of its error.
    pub sigma: f64,
}

/// How errors of height hang together, for changes of height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeightErrors {
    /// Time in which they forget each other, s.
    pub memory_s: f64,
    /// Doubt of the scale of heights, as a share: that of pressure heights where nobody knows how warm the air is.
    pub scale_sigma: f64,
}

impl Default for HeightErrors {
    /// Those of an ordinary receiver (common practice, no source).
    fn default() -> Self {
        Self { memory_s: 60.0, scale_sigma: 0.0 }
    }
}

impl HeightErrors {
    /// Sigma of a change of height, from the sigmas of the two heights, the time between, s, and the change, all heights in one
    /// unit.
    #[must_use]
    pub fn sigma_of_change(&self, (first, here): (f64, f64), apart_s: f64, change: f64) -> f64 {
        let shared = base::math::exp(-apart_s.abs() / self.memory_s);
        let variance = first * first + here * here - 2.0 * shared * first * here;
        // Close together the errors are nearly the same; a hundredth of one always remains.
        let least = 0.02 * here;
        base::math::hypot(variance.max(least * least).sqrt(), self.scale_sigma * change)
    }
}

/// A place between two samples of the time grid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// The sample before.
    pub index: usize,
    /// How far to the next, 0 to 1.
    pub fraction: f64,
}

/// A reconstructed motion. SI units and radians; directions from true north, unwrapped. A quantity that the recording
/// cannot support is `None`, with a note that says why.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Motion {
    /// Since time zero of the recording, strictly increasing. Shape of every column.
    pub time_s: Vec<f64>,
    /// Origin of `north_m` and `east_m`; height of it is nil.
    pub origin: Option<Geodetic>,
    /// Over the ground from the origin.
    pub north_m: Option<Column>,
    /// Over the ground from the origin.
    pub east_m: Option<Column>,
    /// Height as recorded by the best source (see notes for its datum).
    pub height_m: Option<Column>,
    /// How errors of `height_m` hang together.
    pub height_errors: HeightErrors,
    /// Speed over the ground.
    pub ground_speed_mps: Option<Column>,
    /// Direction of motion over the ground, unwrapped.
    pub track_rad: Option<Column>,
    /// Upwards.
    pub climb_mps: Option<Column>,
    /// Where the nose points (equal to the course through the air when no sideslip is observed), unwrapped.
    pub heading_rad: Option<Column>,
    /// Of the air-relative path above the horizon.
    pub path_angle_rad: Option<Column>,
    /// Bank, right positive.
    pub bank_rad: Option<Column>,
    /// Where no sensor shows sideslip: by how many degrees each degree of it puts the bank off. The sigma of `bank_rad` is for attempts
    /// with working and with lazy feet together; a sideslip of eight degrees that is held puts the bank off by eight times this.
    pub bank_by_sideslip: Option<Vec<f64>>,
    /// Pitch attitude, absolute; only when the airplane's incidence is known or pitch was recorded.
    pub pitch_rad: Option<Column>,
    /// Pitch attitude whose changes can be relied on, whose level cannot when the airplane is not known.
    pub pitch_relative_rad: Option<Column>,
    /// Lift over weight.
    pub load_factor: Option<Column>,
    /// Angle of attack of the body axis; absent when neither the airplane nor a recorded pitch tells it.
    pub angle_of_attack_rad: Option<Column>,
    /// Sideslip, positive with the wind from the right; only where a sensor shows it.
    pub sideslip_rad: Option<Column>,
    /// Lateral specific force over gravity, right positive (the ball); only where a sensor shows it.
    pub lateral_load: Option<Column>,
    /// Rotation about the body's forward axis.
    pub roll_rate_radps: Option<Column>,
    /// Rotation about the body's right axis.
    pub pitch_rate_radps: Option<Column>,
    /// Rotation about the body's down axis.
    pub yaw_rate_radps: Option<Column>,
    /// True airspeed.
    pub true_airspeed_mps: Option<Column>,
    /// Calibrated airspeed.
    pub calibrated_airspeed_mps: Option<Column>,
    /// Velocity of the air over the ground, north.
    pub wind_north_mps: Option<Column>,
    /// Velocity of the air over the ground, east.
    pub wind_east_mps: Option<Column>,
    /// Gusts found, one standard deviation a component; `None` when nothing shows them.
    pub gusts_mps: Option<f64>,
    /// Constants of the sensors found on the way: delays, biases, mounting, altimeter setting.
    pub offsets: Vec<Offset>,
    /// Whether the airplane was flying (not taxiing or parked).
    pub airborne: Vec<bool>,
    /// Holes of the recording, bridged with growing sigma.
    pub gaps: Vec<Gap>,
    /// What could not be had, and what was assumed.
    pub notes: Vec<Note>,
}

impl Motion {
    /// The place of a time on the grid; clamped to its ends. `None` for an empty motion.
    #[must_use]
    pub fn place_at(&self, time_s: f64) -> Option<Place> {
        let last = self.time_s.len().checked_sub(1)?;
        let after = self.time_s.partition_point(|&t| t <= time_s);
        if after == 0 {
            return Some(Place { index: 0, fraction: 0.0 });
        }
        let index = (after - 1).min(last);
        if index == last {
            return Some(Place { index: last, fraction: 0.0 });
        }
        let fraction =
            (time_s - self.time_s[index]) / (self.time_s[index + 1] - self.time_s[index]);
        Some(Place { index, fraction })
    }
}
