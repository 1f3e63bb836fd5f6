//! What a recording holds, sensor by sensor: how many samples, how often, from where to where, and where there are none.

use crate::normal::assemble::median;
use crate::normal::{Fix, Gap, Recording, Series};

/// A hole is longer than so many usual steps,
const HOLE_STEPS: f64 = 3.0;
/// and at least so long, s.
const HOLE_LEAST_S: f64 = 2.0;

/// One quantity of a recording.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Stable key: "position", "height", "indicated-airspeed".
    pub key: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// Where it stands in the file.
    pub origin: String,
    /// Unit of `least` and `most`.
    pub unit: &'static str,
    /// How many samples.
    pub count: usize,
    /// Time of the first, s.
    pub first_s: f64,
    /// Time of the last, s.
    pub last_s: f64,
    /// Usual time from one to the next, s; `None` for a single one.
    pub step_s: Option<f64>,
    /// Least and greatest value; `None` for positions.
    pub range: Option<(f64, f64)>,
    /// Longer than three usual steps and at least two seconds without a sample.
    pub holes: Vec<Gap>,
}

impl Held {
    /// Samples a second, by the usual step.
    #[must_use]
    pub fn rate_hz(&self) -> Option<f64> {
        self.step_s.filter(|step_s| *step_s > 0.0).map(|step_s| 1.0 / step_s)
    }
    /// Time without samples between the first and the last, s.
    #[must_use]
    pub fn missing_s(&self) -> f64 {
        self.holes.iter().map(|hole| hole.to_s - hole.from_s).sum()
    }
}

/// Everything a recording holds: position and what comes with it, then the series in their order. Linear in its samples.
#[must_use]
pub fn held(recording: &Recording) -> Vec<Held> {
    type Member = fn(&Fix) -> Option<f64>;
    let members: [(&'static str, &'static str, &'static str, Member); 4] = [
        ("height", "height", "m", |fix| fix.height_m),
        ("ground-speed", "ground speed", "m/s", |fix| fix.ground_speed_mps),
        ("track", "track", "°", |fix| fix.track_deg),
        ("satellite-vertical-speed", "vertical speed of the fixes", "m/s", |fix| fix.climb_mps),
    ];
    let times_s: Vec<f64> = recording.fixes.iter().map(|fix| fix.time_s).collect();
    let mut out = Vec::new();
    if let Some(mut position) = one("position", "position", "°", "fixes", &times_s, None) {
        position.holes.clone_from(&recording.gaps);
        out.push(position);
    }
    for (key, title, unit, member) in members {
        let (times_s, values): (Vec<f64>, Vec<f64>) =
            recording.fixes.iter().filter_map(|fix| Some((fix.time_s, member(fix)?))).unzip();
        out.extend(one(key, title, unit, "fixes", &times_s, Some(&values)));
    }
    let of_series = |series: &Series| {
        let quantity = series.quantity;
        let (key, title, unit) = (quantity.key(), quantity.title(), quantity.unit());
        one(key, title, unit, &series.origin, &series.times_s, Some(&series.values))
    };
    out.extend(recording.series.iter().filter_map(of_series));
    out
}

fn one(
    key: &'static str,
    title: &'static str,
    unit: &'static str,
    origin: &str,
    times_s: &[f64],
    values: Option<&[f64]>,
) -> Option<Held> {
    let (first_s, last_s) = (*times_s.first()?, *times_s.last()?);
    let step_s = median(times_s.windows(2).map(|pair| pair[1] - pair[0]).collect());
    let limit_s = step_s.map_or(f64::INFINITY, |step_s| (HOLE_STEPS * step_s).max(HOLE_LEAST_S));
    let holes = times_s
        .windows(2)
        .filter(|pair| pair[1] - pair[0] > limit_s)
        .map(|pair| Gap { from_s: pair[0], to_s: pair[1] })
        .collect();
    let range = values.map(|values| {
        values.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(*value), high.max(*value))
        })
    });
    Some(Held {
        key,
        title,
        origin: origin.to_owned(),
        unit,
        count: times_s.len(),
        first_s,
        last_s,
        step_s,
        range,
        holes,
    })
}
