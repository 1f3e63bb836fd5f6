//! A fault planted in a reference flight, for an instructor's own practice: what was wrong, why, and what to say.
//!
//! The machinery is that of the re-flight, the other way round: what the reference pilot does is inferred, one thing is spoiled, and
//! all else is flown as it was. The same seed gives the same flight. Linear in its length.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, exp, sin, tan};
use base::numerics::random::SplitMix;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;
use maneuver::definition::Progress;
use maneuver::{Direction, ReferenceFlight};

use crate::faults::{self, Fault};
use crate::find::{FoundPart, Phases};
use crate::part::Part;
use crate::refly::{self, PlantedPath};
use crate::trace::{Line, STEP_S, Trace};

/// A flight with a fault in it.
#[derive(Debug, Clone)]
pub struct Planted {
    /// The fault.
    pub fault: &'static Fault,
    /// Catalogue key of the maneuver.
    pub maneuver: &'static str,
    /// The way of the part that is spoiled.
    pub direction: Direction,
    /// Where the spoiled part begins and ends, s.
    pub part_s: (f64, f64),
    /// The flight, straight before and after.
    pub samples: Vec<PlantedSample>,
}

/// One instant of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlantedSample {
    /// Since the start.
    pub time_s: f64,
    /// Over the ground from the start of the maneuver.
    pub north_m: f64,
    /// The same east.
    pub east_m: f64,
    /// Above mean sea level.
    pub height_m: f64,
    /// Heading, from true north.
    pub heading_rad: f64,
    /// Bank, right positive.
    pub bank_rad: f64,
    /// Path above the horizon.
    pub path_rad: f64,
    /// True airspeed.
    pub true_airspeed_mps: f64,
    /// Calibrated airspeed.
    pub calibrated_airspeed_mps: f64,
}

/// Why nothing was planted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PracticeError {
    /// The maneuver has no fault that can be planted.
    #[error("no fault can be planted in {maneuver}")]
    Maneuver {
        /// Catalogue key.
        maneuver: String,
    },
    /// This maneuver does not take this fault.
    #[error("{fault} cannot be planted in {maneuver}")]
    Fault {
        /// Fault key.
        fault: String,
        /// Catalogue key.
        maneuver: String,
    },
    /// The reference flight cannot be flown again.
    #[error("the reference flight of {maneuver} cannot be flown again")]
    Flight {
        /// Catalogue key.
        maneuver: String,
    },
}

/// Keys of the faults that can be planted in a maneuver.
#[must_use]
pub fn plantable(maneuver: &str) -> &'static [&'static str] {
    refly::plantable(maneuver)
}

/// Straight flight before and after, s.
const BEFORE_S: f64 = 40.0;
const AFTER_S: f64 = 25.0;
const FINE_S: f64 = refly::FINE_S;

/// Plants a fault, or one chosen by the seed, in the first part of a reference flight.
///
/// # Errors
/// The maneuver or the fault does not allow it.
pub fn plant(
    flight: &ReferenceFlight,
    airplane: &Airplane,
    fault: Option<&str>,
    seed: u64,
) -> Result<Planted, PracticeError> {
    let maneuver = flight.maneuver;
    let of = || maneuver.to_owned();
    let mut dice = SplitMix::new(seed);
    let known = plantable(maneuver);
    if known.is_empty() {
        return Err(PracticeError::Maneuver { maneuver: of() });
    }
    let drawn = known[(dice.bits() % known.len() as u64) as usize];
    let id = fault.unwrap_or(drawn);
    let fault = faults::of(id)
        .filter(|_| known.contains(&id))
        .ok_or_else(|| PracticeError::Fault { fault: id.into(), maneuver: of() })?;
    let share = 0.85 + 0.3 * dice.share();
    let broken = || PracticeError::Flight { maneuver: of() };
    let mut paths = Vec::new();
    for (index, part) in flight.parts.iter().enumerate() {
        let samples = flight.samples.get(part.first..=part.last).ok_or_else(broken)?;
        let trace = trace(samples);
        let found = FoundPart {
            direction: Some(part.direction),
            progress: Progress::Turn,
            start: 0,
            end: trace.len().saturating_sub(1),
            level: trace.len().saturating_sub(1),
            phases: Phases::default(),
        };
        let span_deg = samples.last().ok_or_else(broken)?.turned_rad / RAD_PER_DEG;
        let mut cut = Part::new(&trace, &found, (maneuver, span_deg), true, Some(airplane));
        cut.form = flight.form.key;
        let spoil = (index == 0).then_some((id, share));
        let path = refly::planted(&cut, spoil, paths.last()).ok_or_else(broken)?;
        paths.push(path);
    }
    let (samples, part_s) = joined(&paths).ok_or_else(broken)?;
    let direction = flight.parts.first().map_or(flight.direction, |part| part.direction);
    Ok(Planted { fault, maneuver, direction, part_s, samples })
}

/// A part of a computed flight on the grid, as if it had been reconstructed without doubt.
fn trace(samples: &[FlightSample]) -> Trace {
    let (first_s, last_s) =
        samples.first().zip(samples.last()).map_or((0.0, 0.0), |(a, b)| (a.time_s, b.time_s));
    let n = ((last_s - first_s) / STEP_S) as usize + 1;
    let at = |k: usize| {
        let time_s = first_s + STEP_S * k as f64;
        let after = samples.partition_point(|s| s.time_s <= time_s).clamp(1, samples.len() - 1);
        let (a, b) = (&samples[after - 1], &samples[after]);
        let share = ((time_s - a.time_s) / (b.time_s - a.time_s).max(1e-9)).clamp(0.0, 1.0);
        a.mixed(b, share)
    };
    let grid: Vec<FlightSample> =
        if samples.len() < 2 { Vec::new() } else { (0..n).map(at).collect() };
    let line = |of: &dyn Fn(&FlightSample) -> f64| Line {
        value: grid.iter().map(of).collect(),
        sigma: vec![0.0; grid.len()],
    };
    Trace {
        time_s: grid.iter().map(|s| s.time_s).collect(),
        bank_deg: line(&|s| s.lift_bank_rad / RAD_PER_DEG),
        heading_deg: line(&|s| s.course_rad / RAD_PER_DEG),
        path_deg: line(&|s| s.climb_rad / RAD_PER_DEG),
        height_ft: line(&|s| s.height_m / M_PER_FT),
        cas_kt: line(&|s| s.calibrated_airspeed_mps / MPS_PER_KT),
        tas_kt: Some(line(&|s| s.true_airspeed_mps / MPS_PER_KT)),
        north_m: Some(line(&|s| s.north_m)),
        east_m: Some(line(&|s| s.east_m)),
        usable: vec![true; grid.len()],
        ..Trace::default()
    }
}

/// Straight flight, the parts one after the other, straight flight; and where the first part lies.
fn joined(paths: &[PlantedPath]) -> Option<(Vec<PlantedSample>, (f64, f64))> {
    let (first, last) = (paths.first()?, paths.last()?);
    let begin = *first.samples.first()?;
    let drift = first.drift_mps;
    let before = (BEFORE_S / FINE_S) as usize;
    let mut samples: Vec<PlantedSample> = (0..before)
        .map(|k| {
            let early_s = BEFORE_S - FINE_S * k as f64;
            let speed = begin.true_airspeed_mps;
            PlantedSample {
                time_s: FINE_S * k as f64,
                north_m: begin.north_m - (speed * cos(begin.heading_rad) + drift[0]) * early_s,
                east_m: begin.east_m - (speed * sin(begin.heading_rad) + drift[1]) * early_s,
                bank_rad: 0.0,
                path_rad: 0.0,
                ..begin
            }
        })
        .collect();
    let mut part_s = (BEFORE_S, BEFORE_S);
    for (index, path) in paths.iter().enumerate() {
        for sample in &path.samples[usize::from(index > 0)..] {
            samples.push(PlantedSample { time_s: FINE_S * samples.len() as f64, ..*sample });
        }
        if index == 0 {
            part_s.1 = FINE_S * samples.len() as f64;
        }
    }
    level_off(&mut samples, last.drift_mps);
    Some((samples, part_s))
}

/// Wings and path brought level at the speed of the end.
fn level_off(samples: &mut Vec<PlantedSample>, drift_mps: [f64; 2]) {
    const LEVEL_S: f64 = 1.5;
    let keep = exp(-FINE_S / LEVEL_S);
    for _ in 0..(AFTER_S / FINE_S) as usize {
        let Some(mut now) = samples.last().copied() else { return };
        let (speed, level) = (now.true_airspeed_mps, now.true_airspeed_mps * cos(now.path_rad));
        now.north_m += (level * cos(now.heading_rad) + drift_mps[0]) * FINE_S;
        now.east_m += (level * sin(now.heading_rad) + drift_mps[1]) * FINE_S;
        now.height_m += speed * sin(now.path_rad) * FINE_S;
        now.heading_rad += STANDARD_GRAVITY_MPS2 * tan(now.bank_rad) / speed * FINE_S;
        now.bank_rad *= keep;
        now.path_rad *= keep;
        now.time_s = FINE_S * samples.len() as f64;
        samples.push(now);
    }
}
