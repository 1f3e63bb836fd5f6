//! What the figures over the ground share: the entry downwind, marks and columns, the check that power and bank are enough.

use super::comfortable_roll_rate_radps;
use crate::definition::{Direction, Floor};
use crate::reference::{Column, Entry, Infeasible, Mark, Unknown};
use crate::solve::ground::{Drift, GroundPath};
use crate::solve::{Setting, Steer, resolve};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::kinds::{CalibratedAirspeed, TrueHeading};
use base::math::{atan2, cos, hypot, sin, wrap_pi};
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;

/// Heights of the private standard: 600 to 1,000 ft above the ground.
pub(super) const FLOOR_600: Floor = Floor {
    above_ground: Length::from_ft(600.0),
    entry_above_ground: Some(Length::from_ft(800.0)),
    source: "ACS-P",
};

/// A wind of more than this share of the airspeed is no wind to fly figures over the ground in: they would need several times the
/// bank downwind that they need upwind (common practice, no source).
const WIND_SHARE_MOST: f64 = 0.5;

/// A setting with the wind and the roll rate of a figure.
pub(super) struct Scene<'a> {
    /// The airplane at its entry; heading as the wind asks.
    pub setting: Setting<'a>,
    /// Heading at entry, rad.
    pub heading_rad: f64,
    /// Wind speed, m/s.
    pub wind_mps: f64,
    /// True airspeed, m/s.
    pub speed_mps: f64,
    /// Unhurried roll rate, rad/s.
    pub roll_radps: f64,
}

impl<'a> Scene<'a> {
    /// The day's wind decides the heading: this far to the right of downwind; in calm air that of the entry is kept.
    ///
    /// # Errors
    /// When the wind is too much of the airspeed.
    pub(super) fn new(
        (airplane, day, entry): (&'a Airplane, &'a Day, &Entry),
        off_downwind_rad: f64,
    ) -> Result<(Self, Entry), Infeasible> {
        let setting = Setting::new(airplane, day, entry, unhurried(airplane, entry));
        Self::of(setting, entry, off_downwind_rad)
    }
    /// The same with an airplane at an entry of its own.
    ///
    /// # Errors
    /// When the wind is too much of the airspeed.
    pub(super) fn of(
        setting: Setting<'a>,
        entry: &Entry,
        off_downwind_rad: f64,
    ) -> Result<(Self, Entry), Infeasible> {
        let wind = setting.day.wind.velocity();
        let wind_mps = hypot(wind.north(), wind.east());
        let speed_mps = setting.speed_mps;
        if wind_mps > WIND_SHARE_MOST * speed_mps {
            return Err(Infeasible {
                what: format!(
                    "a wind of {:.0} kt is more than half of the airspeed, too much for a figure over the ground: airspeed",
                    wind_mps / MPS_PER_KT
                ),
                needed: wind_mps / WIND_SHARE_MOST / MPS_PER_KT,
                available: speed_mps / MPS_PER_KT,
                unit: "kt true",
                advice: "another day, or a faster entry".into(),
            });
        }
        let heading = if wind_mps > 0.0 {
            let downwind_rad = atan2(wind.east(), wind.north());
            TrueHeading::from_rad(downwind_rad + off_downwind_rad)
        } else {
            entry.heading
        };
        let entry = Entry { heading, ..*entry };
        let heading_rad = entry.heading.to_rad();
        let roll_radps = comfortable_roll_rate_radps(setting.body.airplane);
        Ok((Self { setting, heading_rad, wind_mps, speed_mps, roll_radps }, entry))
    }
    /// The air in the frame of a part begun at a heading in a direction.
    pub(super) fn drift(&self, heading_rad: f64, direction: Direction) -> Drift {
        let wind = self.setting.day.wind.velocity();
        let (c, s) = (cos(heading_rad), sin(heading_rad));
        let ahead = c * wind.north() + s * wind.east();
        let right = c * wind.east() - s * wind.north();
        Drift { speed_mps: self.speed_mps, wind_mps: [ahead, direction.sign() * right] }
    }
    /// Bank of the lift, rad, that shows as this bank of the body in a level turn.
    pub(super) fn lift_bank_rad(&self, bank_rad: f64) -> f64 {
        resolve(&self.setting.body, &self.setting.start(), Steer::Level { bank_rad }).lift_bank_rad
    }
}

/// Entry speed of figures over the ground: an unhurried cruise, 1.9 times the stall speed of the day, never above that of
/// [`super::entry_speed`] (common practice, no source).
pub(super) fn unhurried(airplane: &Airplane, entry: &Entry) -> CalibratedAirspeed {
    let unhurried = super::stall_calibrated(airplane, entry.mass) * 1.9;
    let most = super::entry_speed(airplane, entry);
    entry.speed.unwrap_or(if unhurried < most { unhurried } else { most })
}

/// Refuses a path of which the steepest bank of the lift needs more than full power.
pub(super) fn check_power(path: &GroundPath<'_>, lift_bank_rad: f64) -> Result<f64, Infeasible> {
    let share = path.power_share_at_bank(lift_bank_rad);
    if share <= 1.0 {
        return Ok(share);
    }
    Err(short_of_power(lift_bank_rad, share))
}

/// Full power does not hold height and speed at a bank of the lift: what would.
pub(super) fn short_of_power(lift_bank_rad: f64, share: f64) -> Infeasible {
    Infeasible {
        what: format!(
            "power to hold height and speed at {:.0} degrees of bank",
            lift_bank_rad / RAD_PER_DEG
        ),
        needed: 100.0 * share,
        available: 100.0,
        unit: "% of full",
        advice: "fly the figure wider, slower, lower or lighter".into(),
    }
}

/// A place of the frame of a figure as north and east of its start, m.
pub(super) fn north_east_m(heading_rad: f64, direction: Direction, place_m: [f64; 2]) -> [f64; 2] {
    let (ahead, right) = (place_m[0], direction.sign() * place_m[1]);
    let (c, s) = (cos(heading_rad), sin(heading_rad));
    [c * ahead - s * right, s * ahead + c * right]
}

/// A single point on the ground.
pub(super) fn point(name: &'static str, place_m: [f64; 2]) -> Mark {
    Mark { name, line_m: vec![place_m] }
}

/// Direction from a center to a place over the ground, counted the way of the turn from the direction that is nil; rad, the first
/// within half a turn of nil, then not folded. Written into the progress of the samples.
pub(super) fn count_position(
    samples: &mut [FlightSample],
    center_m: [f64; 2],
    (nil_rad, direction): (f64, Direction),
) {
    let mut before = 0.0;
    for sample in samples {
        let (north, east) = (sample.north_m - center_m[0], sample.east_m - center_m[1]);
        let now = direction.sign() * (atan2(east, north) - nil_rad);
        before += wrap_pi(now - before);
        sample.progress_rad = before;
    }
}

/// Groundspeed and wind correction angle along a flight.
pub(super) fn wind_columns(samples: &[FlightSample], day: &Day) -> Vec<Column> {
    let wind = day.wind.velocity();
    let ground = |sample: &FlightSample| {
        let level = sample.true_airspeed_mps * cos(sample.climb_rad);
        (
            level * cos(sample.course_rad) + wind.north(),
            level * sin(sample.course_rad) + wind.east(),
        )
    };
    let groundspeed = |sample: &FlightSample| {
        let (north, east) = ground(sample);
        hypot(north, east) / MPS_PER_KT
    };
    let correction = |sample: &FlightSample| {
        let (north, east) = ground(sample);
        wrap_pi(sample.course_rad - atan2(east, north)) / RAD_PER_DEG
    };
    vec![
        Column {
            key: "groundspeed_kt",
            title: "groundspeed",
            unit: "kt",
            values: samples.iter().map(groundspeed).collect(),
            source: "AFH-3C",
        },
        Column {
            key: "wind_correction_deg",
            title: "wind correction (right +)",
            unit: "deg",
            values: samples.iter().map(correction).collect(),
            source: "AFH-3C",
        },
    ]
}

/// Distance from a point on the ground along a flight.
pub(super) fn distance_column(
    samples: &[FlightSample],
    title: &'static str,
    center_m: [f64; 2],
) -> Column {
    let distance = |s: &FlightSample| hypot(s.north_m - center_m[0], s.east_m - center_m[1]);
    Column {
        key: "distance_m",
        title,
        unit: "m",
        values: samples.iter().map(distance).collect(),
        source: "AFH-3C",
    }
}

/// Least and greatest of a column, those that are numbers.
pub(super) fn range_of(column: &Column) -> (f64, f64) {
    let numbers = || column.values.iter().copied().filter(|value| value.is_finite());
    (numbers().fold(f64::INFINITY, f64::min), numbers().fold(f64::NEG_INFINITY, f64::max))
}

/// What was found, told in order.
pub(super) fn unknowns(list: &[(&'static str, f64, &'static str)]) -> Vec<Unknown> {
    list.iter().map(|&(name, value, unit)| Unknown { name, value, unit }).collect()
}
