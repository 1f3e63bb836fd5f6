//! What the form leaves open, and the conditions that settle it, for any maneuver: read off the reference flight.
//!
//! Open are the lengths of the legs between knots (checkpoints between which the heading changes), how steeply it climbs and
//! descends (or the load factor, where that steers) and the power, where it is not full or nil. Settled by the heading at each knot and, in this
//! order as far as there are unknowns, by the path, speed and height at the end and path and speed half way (the path, not the nose: at a steep bank the sideslip
//! that a centered ball takes lies in the pitch). In a stall nothing is
//! open: the schedule is flown, at the greatest lift where it asks for more.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};

use super::agreement::Agreement;
use super::channels::{Clock, HARMONICS, Reading, Steering, Tuning};
use super::plane::Plane;
use crate::reference::ReferencePart;

/// One unknown of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Knob {
    /// Length of the leg that begins at this knot, as a logarithm.
    Leg(usize),
    /// Climb angle above that at entry.
    Up,
    /// And below.
    Down,
    /// A harmonic of the load factor.
    Load(usize),
    /// Power.
    Power,
}

/// One condition of a part, at a knot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wanted {
    Heading(usize),
    Speed(usize),
    Height(usize),
    Climb(usize),
    /// Where the nose turns back: its rate.
    PitchRate(usize),
}

/// A leg whose heading changes less than this says nothing of its length, rad.
const LEG_LEAST_RAD: f64 = 15.0 * RAD_PER_DEG;
/// A climb angle that changes less than this from entry is not tuned, rad.
const CLIMB_LEAST_RAD: f64 = 1.0 * RAD_PER_DEG;

/// One part of the figure with its unknowns.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// Knots at which it begins and ends.
    pub(super) knots: (usize, usize),
    pub(super) knobs: Vec<Knob>,
    pub(super) wanted: Vec<Wanted>,
}

/// The clock and the parts of a reference.
pub(super) fn parts(plane: &Plane<'_>) -> (Clock, Vec<Part>) {
    let reading = plane.reading();
    let mut times = vec![plane.reference.samples[0].time_s];
    let mut out = Vec::new();
    for part in &plane.reference.parts {
        let first = times.len() - 1;
        let turning = knots(plane, part);
        let end_s = plane.reference.samples[part.last].time_s;
        times.extend(&turning);
        let closes = turning.last().is_some_and(|last| end_s - last < 1e-6);
        if !closes {
            times.push(end_s);
        }
        let last = times.len() - 1;
        let legs = first..first + turning.len();
        out.push(settle(plane, reading, (first, last), legs));
    }
    (Clock::new(times), out)
}

/// Times of the checkpoints of a part between which the heading changes.
fn knots(plane: &Plane<'_>, part: &ReferencePart) -> Vec<f64> {
    let samples = &plane.reference.samples;
    if plane.steering == Steering::Attitude {
        return Vec::new();
    }
    let mut heading = samples[part.first].heading_rad;
    let mut out = Vec::new();
    let minimal = plane.reference.maneuver == "chandelle";
    for checkpoint in &part.checkpoints {
        let sample = &checkpoint.sample;
        // A chandelle is a schedule of two legs; its other checkpoints are only read.
        let skipped = minimal && (checkpoint.progress_deg / 90.0).fract() != 0.0;
        if !skipped && (sample.heading_rad - heading).abs() > LEG_LEAST_RAD {
            heading = sample.heading_rad;
            out.push(sample.time_s);
        }
    }
    out
}

fn settle(
    plane: &Plane<'_>,
    reading: Reading<'_>,
    (first, last): (usize, usize),
    legs: std::ops::Range<usize>,
) -> Part {
    let samples = reading.samples();
    let entry_rad = samples[0].climb_rad;
    let above = samples.iter().map(|s| s.climb_rad - entry_rad).fold(0.0, f64::max);
    let below = samples.iter().map(|s| entry_rad - s.climb_rad).fold(0.0, f64::max);
    let power = samples[0].power_share;
    let middle = first + (last - first) / 2;
    let mut knobs: Vec<Knob> = legs.clone().map(Knob::Leg).collect();
    let mut wanted: Vec<Wanted> = legs.map(|leg| Wanted::Heading(leg + 1)).collect();
    let turned = !knobs.is_empty();
    let mut rest = match plane.steering {
        Steering::Climb => vec![Wanted::Speed(last), Wanted::Height(last), Wanted::Speed(middle)],
        Steering::Level => vec![Wanted::Speed(last)],
        Steering::Load => vec![
            Wanted::Climb(last),
            Wanted::Speed(last),
            Wanted::Height(last),
            Wanted::Climb(middle),
            Wanted::Speed(middle),
            Wanted::PitchRate(first + 1),
            Wanted::PitchRate(last - 1),
        ],
        Steering::Attitude => Vec::new(),
    };
    if plane.stalls {
        return Part { knots: (first, last), knobs: Vec::new(), wanted: Vec::new() };
    }
    match plane.steering {
        Steering::Climb => {
            knobs.extend((above > CLIMB_LEAST_RAD).then_some(Knob::Up));
            knobs.extend((below > CLIMB_LEAST_RAD).then_some(Knob::Down));
        }
        Steering::Load if last - first == 4 && turned => {
            knobs.extend((0..HARMONICS).map(Knob::Load));
        }
        Steering::Load | Steering::Level | Steering::Attitude => {}
    }
    let open = power > 0.02 && power < 0.99 && plane.steering != Steering::Attitude;
    knobs.extend(open.then_some(Knob::Power));
    rest.truncate(knobs.len() - wanted.len());
    wanted.extend(rest);
    knobs.truncate(wanted.len());
    Part { knots: (first, last), knobs, wanted }
}

impl Part {
    /// Clock and tuning changed by these values of the knobs.
    pub(super) fn set(
        &self,
        values: &[f64],
        (clock, tunings): (&Clock, &[Tuning]),
        index: usize,
    ) -> (Clock, Vec<Tuning>) {
        let mut tunings = tunings.to_vec();
        let mut legs = Vec::new();
        let tuning = &mut tunings[index];
        for (knob, &value) in self.knobs.iter().zip(values) {
            match *knob {
                Knob::Leg(_) => legs.push(value),
                Knob::Up => tuning.up = value,
                Knob::Down => tuning.down = value,
                Knob::Load(k) => tuning.harmonics[k] = value,
                Knob::Power => tuning.power = value,
            }
        }
        (clock.stretched(self.knots.0, &legs), tunings)
    }
}

impl Wanted {
    pub(super) const fn knot(self) -> usize {
        match self {
            Self::Heading(knot)
            | Self::Speed(knot)
            | Self::Height(knot)
            | Self::Climb(knot)
            | Self::PitchRate(knot) => knot,
        }
    }
    /// Its size, by which a miss is divided: a miss of one is far off.
    pub(super) const fn scale(self) -> f64 {
        match self {
            Self::Heading(_) | Self::Climb(_) => 1.0,
            Self::Speed(_) => 50.0,
            Self::Height(_) => 60.0,
            Self::PitchRate(_) => 0.25,
        }
    }
    /// Words, unit that it is told in, that unit in SI, and what is let pass: as much as the two levels may differ, angles by a
    /// degree.
    pub(super) fn told(self, span_m: f64) -> (&'static str, &'static str, f64, f64) {
        match self {
            Self::Heading(_) => ("heading", "degrees", RAD_PER_DEG, 1.0),
            Self::Speed(_) => ("speed", "kt", MPS_PER_KT, Agreement::SPEED_KT),
            Self::Height(_) => ("height", "m", 1.0, Agreement::HEIGHT_SHARE * span_m),
            Self::Climb(_) => ("climb angle", "degrees", RAD_PER_DEG, 1.0),
            Self::PitchRate(_) => ("rate of pitch", "degrees a second", RAD_PER_DEG, 1.0),
        }
    }
}
