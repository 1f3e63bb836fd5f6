//! The greatest gain in a stated time, for an airplane of the catalogue: an overlay of the chandelle.
//!
//! A chandelle is judged against its schedule, not against this: the best flight pulls hard early, flies the middle near the best
//! climb speed and zooms at the end. It shows what the airplane could gain at most in the same time.

use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;

use super::climb::{Climb, solve_climb};
use super::{Limits, Mesh, NotFound, Optimum};
use crate::reference::{Entry, ReferenceFlight};
use crate::solve::Setting;
use crate::solve::sampling::{Begin, samples};

/// Fastest change of the lift coefficient that a hand makes, per second (common practice, no source).
const LIFT_RATE_PER_S: f64 = 0.5;
/// Least speed over the stall on the way (common practice, no source).
const STALL_MARGIN: f64 = 1.05;
/// Loads of a comfortable climb, within the limits of any category (common practice, no source).
const LOADS: (f64, f64) = (0.5, 2.5);

/// The best flight and its samples.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlay {
    /// Samples at most 0.1 s apart, in the direction and from the heading of the entry.
    pub samples: Vec<FlightSample>,
    /// Height gained, m.
    pub gain_m: f64,
    /// Within this time, s.
    pub time_s: f64,
    /// Steepest bank allowed, rad.
    pub bank_max_rad: f64,
    /// Least and greatest load allowed.
    pub loads: (f64, f64),
    /// The controls and how they were found.
    pub optimum: Optimum,
}

/// Greatest gain of height in a turn of 180 degrees within `time_s`, bank no steeper than `bank_max_rad`, entered level at the speed
/// of the setting. See [`Setting::new`] for the airplane, the day and the entry.
///
/// # Errors
/// When no such turn is found, with the reason.
pub fn greatest_gain(
    setting: &Setting<'_>,
    entry: &Entry,
    (time_s, bank_max_rad): (f64, f64),
) -> Result<Overlay, NotFound> {
    let limits = limits(setting.body.airplane, bank_max_rad);
    let start = (setting.speed_mps, setting.height_m);
    let optimum =
        solve_climb(&setting.body, start, &Climb { limits, time_max_s: time_s }, &Mesh::default())?;
    let left = NotFound {
        stop: base::numerics::optimal_control::Stop::NotFinite,
        violation: f64::INFINITY,
        intervals: optimum.intervals,
    };
    let flown = optimum.history.fly(&setting.body, start.0, start.1).ok_or(left)?;
    let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let samples = samples(setting, &optimum.history, &flown, entry.direction, begin);
    let (_, height_m) = crate::solve::state_at_end(&flown);
    let (gain_m, loads) = (height_m - setting.height_m, (limits.load_min, limits.load_max));
    Ok(Overlay { samples, gain_m, time_s, bank_max_rad, loads, optimum })
}

/// [`greatest_gain`] from the entry speed of a chandelle, in its time, the way that `entry` says.
///
/// # Errors
/// As [`greatest_gain`].
pub fn of_chandelle(
    airplane: &Airplane,
    day: &Day,
    entry: &Entry,
    chandelle: &ReferenceFlight,
) -> Result<Overlay, NotFound> {
    let [first, last] = [chandelle.samples.first(), chandelle.samples.last()]
        .map(|sample| sample.expect("a flight has samples"));
    let time_s = last.time_s - first.time_s;
    let speed = base::kinds::CalibratedAirspeed::from_mps(first.calibrated_airspeed_mps);
    let setting = Setting::new(airplane, day, entry, speed);
    let bank_deg = if entry.form.key == "shallow" { 30.0 } else { 60.0 };
    greatest_gain(&setting, entry, (time_s, bank_deg * RAD_PER_DEG))
}

fn limits(airplane: &Airplane, bank_max_rad: f64) -> Limits {
    let structure = airplane
        .categories
        .iter()
        .map(|category| category.load_factor_max.to_g())
        .fold(f64::INFINITY, f64::min);
    Limits {
        lift_rate_per_s: LIFT_RATE_PER_S,
        roll_rate_radps: 0.5 * airplane.roll_rate_max.to_radps(),
        load_min: LOADS.0,
        load_max: LOADS.1.min(structure),
        bank_max_rad,
        stall_margin: STALL_MARGIN,
    }
}
