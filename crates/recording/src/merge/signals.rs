//! A recording as signals on an even grid: what two recordings of one flight have in common, whatever sensors made it.

use crate::normal::assemble::{course_rad, distance_m};
use crate::normal::oddities::at;
use crate::normal::{Fix, QuantityKind as Q, Recording};
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math;

/// Most steps of the grid of one recording: longer recordings get a coarser grid.
pub(super) const STEPS_MOST: usize = 8000;
/// Speed that turns bank into a rate of turn where no airspeed is recorded, m/s: scales only, which the comparison ignores.
const SPEED_USUAL_MPS: f64 = 50.0;
/// Heights and speeds are differenced over this span, s.
const SPAN_S: f64 = 4.0;

/// A signal: NaN where it is not known.
#[derive(Debug, Clone)]
pub(super) struct Signal {
    pub(super) name: &'static str,
    pub(super) values: Vec<f64>,
}

/// The signals of a recording from its time zero on, one value a step.
#[derive(Debug, Clone)]
pub(super) struct Signals {
    pub(super) step_s: f64,
    pub(super) all: Vec<Signal>,
}

impl Signals {
    /// On a grid of this step. Linear in samples and steps.
    pub(super) fn new(recording: &Recording, step_s: f64) -> Self {
        let steps = (recording.duration_s() / step_s) as usize + 1;
        let times_s: Vec<f64> = (0..steps).map(|step| step as f64 * step_s).collect();
        let candidates = [
            ("climb", climb(recording, &times_s)),
            ("speed", speed(recording, &times_s)),
            ("turning", turning(recording, &times_s)),
        ];
        let all = candidates
            .into_iter()
            .filter_map(|(name, values)| Some(Signal { name, values: values? }))
            .collect();
        Self { step_s, all }
    }
    pub(super) fn find(&self, name: &str) -> Option<&[f64]> {
        self.all.iter().find(|signal| signal.name == name).map(|signal| signal.values.as_slice())
    }
}

/// The step at which both fit the greatest number of steps.
pub(super) fn step_s(a: &Recording, b: &Recording) -> f64 {
    let longest_s = a.duration_s().max(b.duration_s());
    (longest_s / STEPS_MOST as f64).max(1.0)
}

type Samples = (Vec<f64>, Vec<f64>);

fn of_fixes(recording: &Recording, get: impl Fn(&Fix) -> Option<f64>) -> Option<Samples> {
    let samples: Samples =
        recording.fixes.iter().filter_map(|fix| Some((fix.time_s, get(fix)?))).unzip();
    (samples.0.len() > 1).then_some(samples)
}

fn of_series(recording: &Recording, quantities: &[Q]) -> Option<Samples> {
    let series = quantities.iter().find_map(|quantity| recording.series_of(*quantity))?;
    (series.values.len() > 1).then(|| (series.times_s.clone(), series.values.clone()))
}

fn on_grid(samples: &Samples, times_s: &[f64]) -> Vec<f64> {
    times_s.iter().map(|time_s| at(&samples.0, &samples.1, *time_s).unwrap_or(f64::NAN)).collect()
}

/// Change of height, by whatever measures height.
fn climb(recording: &Recording, times_s: &[f64]) -> Option<Vec<f64>> {
    let heights = [Q::PressureAltitudeM, Q::IndicatedAltitudeM];
    let pressure = || {
        // a fall of pressure is a climb; the scale is of no matter
        let (times_s, values) = of_series(recording, &[Q::StaticPressurePa])?;
        Some((times_s, values.iter().map(|pressure_pa| -0.085 * pressure_pa).collect()))
    };
    let samples = of_fixes(recording, |fix| fix.height_m)
        .or_else(|| of_series(recording, &heights))
        .or_else(pressure)?;
    Some(differenced(&samples, times_s))
}

fn differenced(samples: &Samples, times_s: &[f64]) -> Vec<f64> {
    times_s
        .iter()
        .map(|time_s| {
            let value = |time_s| at(&samples.0, &samples.1, time_s);
            let (before, after) = (value(time_s - 0.5 * SPAN_S), value(time_s + 0.5 * SPAN_S));
            before.zip(after).map_or(f64::NAN, |(before, after)| (after - before) / SPAN_S)
        })
        .collect()
}

fn speed(recording: &Recording, times_s: &[f64]) -> Option<Vec<f64>> {
    let airspeeds = [Q::TrueAirspeedMps, Q::CalibratedAirspeedMps, Q::IndicatedAirspeedMps];
    let moved = || {
        let steps = recording.fixes.windows(2).map(|pair| {
            let step_s = pair[1].time_s - pair[0].time_s;
            (pair[0].time_s + 0.5 * step_s, distance_m(&pair[0], &pair[1]) / step_s)
        });
        let samples: Samples = steps.unzip();
        (samples.0.len() > 1).then_some(samples)
    };
    let samples = of_fixes(recording, |fix| fix.ground_speed_mps)
        .or_else(moved)
        .or_else(|| of_series(recording, &airspeeds))?;
    Some(on_grid(&samples, times_s))
}

/// Rate of turn, right positive: by the track, the heading, the bank, or the yaw rate.
fn turning(recording: &Recording, times_s: &[f64]) -> Option<Vec<f64>> {
    let track = of_fixes(recording, |fix| fix.track_deg).or_else(|| {
        let courses =
            recording.fixes.windows(2).filter(|pair| distance_m(&pair[0], &pair[1]) > 5.0);
        let samples: Samples = courses
            .map(|pair| (pair[0].time_s, course_rad(&pair[0], &pair[1]) / RAD_PER_DEG))
            .unzip();
        (samples.0.len() > 1).then_some(samples)
    });
    let headings = [Q::TrueHeadingDeg, Q::MagneticHeadingDeg];
    if let Some((times, directions)) = track.or_else(|| of_series(recording, &headings)) {
        return Some(differenced(&(times, unwound_deg(&directions)), times_s));
    }
    if let Some(bank) = of_series(recording, &[Q::BankDeg]) {
        let turn = |bank_deg: f64| {
            let bank_rad = bank_deg.clamp(-75.0, 75.0) * RAD_PER_DEG;
            let tangent = math::sin(bank_rad) / math::cos(bank_rad);
            STANDARD_GRAVITY_MPS2 * tangent / SPEED_USUAL_MPS / RAD_PER_DEG
        };
        return Some(on_grid(&bank, times_s).into_iter().map(turn).collect());
    }
    let yaw = of_series(recording, &[Q::YawRateRadps])?;
    Some(on_grid(&yaw, times_s).into_iter().map(|rate| rate / RAD_PER_DEG).collect())
}

/// Directions without the jump at north, degrees.
fn unwound_deg(directions_deg: &[f64]) -> Vec<f64> {
    let radians: Vec<f64> = directions_deg.iter().map(|deg| deg * RAD_PER_DEG).collect();
    math::unwrap_angles(&radians).into_iter().map(|rad| rad / RAD_PER_DEG).collect()
}
