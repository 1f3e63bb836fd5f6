//! The reference flight: solved, not drawn.

use crate::definition::{Direction, Form, Progress, Shape};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;

/// How the maneuver is begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// Which form.
    pub form: Form,
    /// Which way (of the first part).
    pub direction: Direction,
    /// Mass of the day.
    pub mass: Mass,
    /// Height above mean sea level at entry.
    pub height: GeometricHeight,
    /// Heading at entry.
    pub heading: TrueHeading,
    /// Entry speed when the user asks for one; else the maneuver chooses and says why.
    pub speed: Option<CalibratedAirspeed>,
}

/// The flight of this airplane on this day that satisfies the form.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceFlight {
    /// Catalogue key.
    pub maneuver: &'static str,
    /// The form flown.
    pub form: Form,
    /// Way of the first part.
    pub direction: Direction,
    /// Samples in time order over all parts, at most 0.1 s apart.
    pub samples: Vec<FlightSample>,
    /// The parts: index range into `samples` (the last sample of one is the first of the next) and their checkpoints.
    pub parts: Vec<ReferencePart>,
    /// What was left open by the form and was found.
    pub unknowns: Vec<Unknown>,
    /// Conditions of the form and by how much each is missed.
    pub conditions: Vec<Condition>,
    /// Worst values over the flight, for limits.
    pub extremes: Extremes,
    /// What the progress angle counts.
    pub progress: Progress,
    /// What lies on the ground: road, point, pylons, boundary. In the frame of the samples (north and east of the start).
    pub marks: Vec<Mark>,
    /// Further quantities along the flight: wind correction angle, groundspeed, pivotal height.
    pub columns: Vec<Column>,
    /// Whether the figure is meant to pass the greatest lift of the wing.
    pub stalls: bool,
    /// Names of the phases of a scripted figure, in order; empty for others.
    pub phases: Vec<&'static str>,
}

/// Something on the ground that a figure is flown about.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// As people call it: "pylon", "road".
    pub name: &'static str,
    /// One point, or the corners of a line; north and east of the start of the flight, m.
    pub line_m: Vec<[f64; 2]>,
}

/// A quantity along the flight, one value a sample.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Stable key with its unit: "wind_correction_deg".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Unit of the values.
    pub unit: &'static str,
    /// One value a sample; not a number where it has no meaning.
    pub values: Vec<f64>,
    /// Source key of the law it follows.
    pub source: &'static str,
}

/// One part of a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferencePart {
    /// Which way this part turns.
    pub direction: Direction,
    /// First sample.
    pub first: usize,
    /// Last sample, included.
    pub last: usize,
    /// State at the checkpoints, interpolated in the progress angle.
    pub checkpoints: Vec<Checkpoint>,
}

/// The state at one checkpoint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checkpoint {
    /// Progress there, degrees.
    pub progress_deg: f64,
    /// The state there.
    pub sample: FlightSample,
}

/// Something the form leaves open, found by the solver.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What: "greatest pitch".
    pub name: &'static str,
    /// Found value, in `unit`.
    pub value: f64,
    /// Unit of the value.
    pub unit: &'static str,
}

/// A condition of the form.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// What: "speed at 180 degrees of turn equals entry".
    pub name: &'static str,
    /// Wanted value, in `unit`.
    pub wanted: f64,
    /// Reached value, in `unit`.
    pub reached: f64,
    /// Unit.
    pub unit: &'static str,
}

/// Worst values of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Steepest bank, degrees, positive.
    pub bank_max_deg: f64,
    /// Highest nose, degrees.
    pub pitch_max_deg: f64,
    /// Lowest nose, degrees.
    pub pitch_min_deg: f64,
    /// Greatest load factor.
    pub load_factor_max: f64,
    /// Least load factor.
    pub load_factor_min: f64,
    /// Fastest, knots indicated.
    pub speed_max_kt: f64,
    /// Slowest, knots indicated.
    pub speed_min_kt: f64,
    /// Least margin of calibrated airspeed over the stall speed at that load, knots.
    pub stall_margin_min_kt: f64,
    /// The same while the load factor is above [`LOADED`]; `None` when it never is.
    pub stall_margin_loaded_min_kt: Option<f64>,
    /// Highest above entry, m.
    pub height_gain_max_m: f64,
    /// Lowest relative to entry, m (negative below).
    pub height_low_m: f64,
}

/// Progress of one phase of a scripted figure, degrees; nearer than this to the greatest lift is the break, degrees.
const PHASE_DEG: f64 = 100.0;
const BREAK_NEAR_DEG: f64 = 40.0;

/// Above this load factor a stall is an accelerated one: sudden, and often with a wing first.
pub const LOADED: f64 = 1.2;

/// Why the airplane cannot fly it: a result, not an error.
#[derive(Debug, Clone, PartialEq)]
pub struct Infeasible {
    /// What is missing, in words: "sustained bank of 60 degrees".
    pub what: String,
    /// Needed, in `unit`.
    pub needed: f64,
    /// Available, in `unit`.
    pub available: f64,
    /// Unit.
    pub unit: &'static str,
    /// What would help: lighter, lower, another form.
    pub advice: String,
}

impl std::fmt::Display for Infeasible {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { what, needed, available, unit, advice } = self;
        let unit = if *unit == "deg" { "degrees" } else { unit };
        let [needed, available] = read_apart(*needed, *available);
        // "-87 ft from entry" says enough by itself; nil is no need.
        if needed == "0" {
            return write!(out, "{what}: {available} {unit}; {advice}");
        }
        write!(out, "{what}: needs {needed} {unit}, there are {available}; {advice}")
    }
}

/// Two numbers as a person reads them: whole where that tells them apart, else with as many decimals as do, three at most.
pub(crate) fn read_apart(a: f64, b: f64) -> [String; 2] {
    let told = |decimals: usize| [a, b].map(|value| format!("{:.decimals$}", value + 0.0));
    let apart = |[a, b]: &[String; 2]| a != b;
    let small = a.abs().max(b.abs()) < 10.0;
    let first = usize::from(small && (a.fract() != 0.0 || b.fract() != 0.0));
    (first..3).map(told).find(apart).unwrap_or_else(|| told(3)).map(|text| {
        // Nil has no sign.
        let nil = text.bytes().all(|byte| matches!(byte, b'-' | b'0' | b'.'));
        if nil { "0".into() } else { text }
    })
}

/// What is told about the solution besides its samples.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// What was found.
    pub unknowns: Vec<Unknown>,
    /// How well the conditions hold.
    pub conditions: Vec<Condition>,
    /// What lies on the ground.
    pub marks: Vec<Mark>,
    /// Further quantities, one value a sample of all parts together.
    pub columns: Vec<Column>,
    /// Whether the figure is meant to pass the greatest lift of the wing.
    pub stalls: bool,
    /// Names of the phases of a scripted figure, in order.
    pub phases: Vec<&'static str>,
}

impl ReferenceFlight {
    /// Puts parts together: joins the samples, reads the checkpoints, finds the extremes.
    ///
    /// # Shape
    /// Each part's samples in time order; the last sample of one part is the first of the next.
    ///
    /// # Errors
    /// When the flight passes the greatest lift of the wing: it would stall, and is never shown as if it could be flown.
    pub fn assemble(
        (maneuver, shape): (&'static str, &Shape),
        (airplane, entry): (&Airplane, &Entry),
        parts: Vec<(Direction, Vec<FlightSample>)>,
        told: Told,
    ) -> Result<Self, Infeasible> {
        let mut samples: Vec<FlightSample> = Vec::new();
        let mut out = Vec::new();
        for (direction, part) in parts {
            // The joint sample belongs to both parts; the later one counts its turn from nil.
            let first = samples.len();
            let checkpoints =
                shape.checkpoints_deg.iter().filter_map(|&at| checkpoint(&part, at)).collect();
            samples.extend(part);
            out.push(ReferencePart { direction, first, last: samples.len() - 1, checkpoints });
        }
        let lift_max = airplane.aerodynamics.lift_max;
        let stalled = samples.iter().find(|sample| sample.lift_coefficient >= lift_max);
        if let Some(stalled) = stalled.filter(|_| !told.stalls) {
            return Err(stall(stalled, lift_max));
        }
        let extremes = Extremes::of(&samples);
        let Told { unknowns, conditions, marks, columns, stalls, phases } = told;
        let (form, direction, progress) = (entry.form, entry.direction, shape.progress);
        Ok(Self {
            maneuver,
            form,
            direction,
            samples,
            parts: out,
            unknowns,
            conditions,
            extremes,
            progress,
            marks,
            columns,
            stalls,
            phases,
        })
    }

    /// The phase that begins at a checkpoint, by name, or the end of the last; half way through one, that. `None` where the figure
    /// has no phases.
    #[must_use]
    pub fn phase_at(&self, progress_deg: f64) -> Option<String> {
        let last = self.phases.len().checked_sub(1)?;
        let passed = (progress_deg / PHASE_DEG).max(0.0);
        // A checkpoint found by interpolation lies on the boundary but for rounding.
        if (passed - passed.round()).abs() < 0.01 {
            let begun = passed.round() as usize;
            return Some(self.phases.get(begun).map_or_else(|| "end".into(), ToString::to_string));
        }
        Some(format!("half way: {}", self.phases[(passed as usize).min(last)]))
    }

    /// Where a count of progress is, in words: "at 45 degrees", "at the break", "in the phase \"recover\"".
    #[must_use]
    pub fn place_words(&self, progress_deg: f64) -> String {
        let Some(last) = self.phases.len().checked_sub(1) else {
            return format!("at {:.0} degrees", progress_deg + 0.0);
        };
        if self.break_deg().is_some_and(|at| (progress_deg - at).abs() < BREAK_NEAR_DEG) {
            return "at the break".into();
        }
        let index = (progress_deg / PHASE_DEG).max(0.0) as usize;
        format!("in the phase \"{}\"", self.phases[index.min(last)])
    }

    /// "of the figure to the left"; of one without sides "of the figure".
    #[must_use]
    pub fn figure_words(&self) -> String {
        match crate::catalog::find(self.maneuver) {
            Some(maneuver) if !maneuver.shape().sided => "of the figure".into(),
            _ => format!("of the figure to the {}", self.direction.word()),
        }
    }

    /// [`Self::place_words`], with the part named where there are several.
    #[must_use]
    pub fn place_words_in(&self, part: usize, progress_deg: f64) -> String {
        let place = self.place_words(progress_deg);
        let word = match part {
            _ if self.parts.len() < 2 => return place,
            0 => "first",
            _ => "second",
        };
        format!("{place} of the {word} part")
    }

    /// Progress at which the wing passes its greatest lift, degrees; `None` where it is not meant to.
    fn break_deg(&self) -> Option<f64> {
        let after = |name: &&str| matches!(*name, "full stall" | "unload");
        let index = self.phases.iter().position(after).filter(|_| self.stalls)?;
        Some(PHASE_DEG * index as f64)
    }

    /// Samples of one part.
    #[must_use]
    pub fn part_samples(&self, part: &ReferencePart) -> &[FlightSample] {
        &self.samples[part.first..=part.last]
    }
}

fn stall(sample: &FlightSample, lift_max: f64) -> Infeasible {
    Infeasible {
        what: format!(
            "the wing would stall after {:.0} degrees of turn at {:.1} g",
            sample.turned_rad / RAD_PER_DEG,
            sample.load_factor
        ),
        needed: sample.stall_speed_mps / MPS_PER_KT,
        available: sample.calibrated_airspeed_mps / MPS_PER_KT,
        unit: "kt calibrated",
        advice: format!(
            "lift coefficient {:.2} of {lift_max:.2}: enter faster or lighter, or choose a shallower form",
            sample.lift_coefficient
        ),
    }
}

/// State where a part has come to `progress_deg`, linear between samples; `None` when it never does.
///
/// A part that ends at that progress is read at its end: while the bank comes off the nose swings back against the course, so the
/// heading may pass its last value a little before the end, where the bank is not off yet.
fn checkpoint(part: &[FlightSample], progress_deg: f64) -> Option<Checkpoint> {
    let progress_rad = progress_deg * RAD_PER_DEG;
    // A solution meets its conditions to better than this.
    const CLOSE_RAD: f64 = 1e-4;
    // On a line held the progress stands still, but for rounding.
    const ROUNDING_RAD: f64 = 1e-9;
    let ends_there = |last: &&FlightSample| (last.progress_rad - progress_rad).abs() < CLOSE_RAD;
    if let Some(last) = part.last().filter(ends_there) {
        return Some(Checkpoint { progress_deg, sample: *last });
    }
    let after =
        part.iter().position(|sample| sample.progress_rad >= progress_rad - ROUNDING_RAD)?;
    let sample = match after.checked_sub(1).map(|before| (part[before], part[after])) {
        None => part[after],
        Some((a, b)) => {
            let passed = (progress_rad - a.progress_rad) / (b.progress_rad - a.progress_rad);
            a.mixed(&b, passed.clamp(0.0, 1.0))
        }
    };
    Some(Checkpoint { progress_deg, sample })
}

impl Extremes {
    /// Worst values of a flight.
    fn of(samples: &[FlightSample]) -> Self {
        let greatest = |f: &dyn Fn(&FlightSample) -> f64| {
            samples.iter().map(f).fold(f64::NEG_INFINITY, f64::max)
        };
        let least =
            |f: &dyn Fn(&FlightSample) -> f64| samples.iter().map(f).fold(f64::INFINITY, f64::min);
        let entry_m = samples.first().map_or(0.0, |sample| sample.height_m);
        Self {
            bank_max_deg: greatest(&|s| s.bank_rad.abs()) / RAD_PER_DEG,
            pitch_max_deg: greatest(&|s| s.pitch_rad) / RAD_PER_DEG,
            pitch_min_deg: least(&|s| s.pitch_rad) / RAD_PER_DEG,
            load_factor_max: greatest(&|s| s.load_factor),
            load_factor_min: least(&|s| s.load_factor),
            speed_max_kt: greatest(&|s| s.indicated_airspeed_mps) / MPS_PER_KT,
            speed_min_kt: least(&|s| s.indicated_airspeed_mps) / MPS_PER_KT,
            stall_margin_min_kt: least(&|s| s.calibrated_airspeed_mps - s.stall_speed_mps)
                / MPS_PER_KT,
            stall_margin_loaded_min_kt: samples
                .iter()
                .filter(|s| s.load_factor > LOADED)
                .map(|s| (s.calibrated_airspeed_mps - s.stall_speed_mps) / MPS_PER_KT)
                .min_by(f64::total_cmp),
            height_gain_max_m: greatest(&|s| s.height_m) - entry_m,
            height_low_m: least(&|s| s.height_m) - entry_m,
        }
    }
}
