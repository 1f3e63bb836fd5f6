//! How well a reconstruction knows how well it knows: errors against its own sigmas, on many drawn lessons.
//!
//! A lesson is flown, a recorder writes its file, the file is read and the motion reconstructed; inside each attempt every
//! quantity is compared with the truth twice a second. What is reported for a quantity: the root mean square of its error,
//! the share of errors inside the 95 % band with an interval found by drawing the attempts anew (samples of one attempt
//! belong together), and the root mean square of error over sigma, which is one when the sigmas are honest.

mod quantity;
mod summary;

use base::kinds::GeometricHeight;
use base::units::{Pressure, Temperature};
use motion::{Known, reconstruct};
use recording::ReadOptions;

use crate::lesson::{Attempt, Flight, Lesson, Sort};
use crate::recorders::Recorder;

pub use quantity::{ALL as QUANTITIES, Instant, Miss, Quantity};
pub use summary::{Summary, summarize};

/// Samples compared in each second of an attempt.
const EACH_SECOND: f64 = 2.0;
/// Standard deviations on either side that hold 95 % of a normal error.
pub(crate) const SIGMAS_OF_95_PERCENT: f64 = 1.959_964;

/// How an attempt was flown, by its truth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// Smooth air, hardly any sideslip.
    Coordinated,
    /// Smooth air, sideslip of several degrees.
    Uncoordinated,
    /// Turbulent air.
    Turbulent,
}

impl Group {
    /// Every group, in the order they are reported.
    pub const ALL: [Self; 3] = [Self::Coordinated, Self::Uncoordinated, Self::Turbulent];
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Coordinated => "coordinated",
            Self::Uncoordinated => "uncoordinated",
            Self::Turbulent => "turbulent",
        }
    }
    fn of(lesson: &Lesson, flight: &Flight, attempt: &Attempt) -> Self {
        /// Sideslip (root mean square) that a good pilot does not leave standing.
        const SLIP_MOST_RAD: f64 = 2.5 * base::factors::RAD_PER_DEG;
        if lesson.sort == Sort::Turbulent {
            return Self::Turbulent;
        }
        let inside = |time_s: f64| (attempt.start_s..=attempt.end_s).contains(&time_s);
        let slips = flight.samples.iter().filter(|sample| inside(sample.time_s));
        let (mut n, mut squares) = (0.0, 0.0);
        for sample in slips {
            n += 1.0;
            squares += sample.beta_rad * sample.beta_rad;
        }
        let slips = squares > n * SLIP_MOST_RAD * SLIP_MOST_RAD;
        if slips { Self::Uncoordinated } else { Self::Coordinated }
    }
}

/// Errors of one quantity in one attempt.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Errors {
    /// Samples.
    pub n: f64,
    /// Sum of squared errors, in the unit of the quantity.
    pub squares: f64,
    /// Sum of squared errors over sigma.
    pub normalized: f64,
    /// Samples inside the 95 % band.
    pub inside: f64,
}

impl Errors {
    /// One more sample. A sigma of nil or no number counts as an error that is infinitely far outside.
    pub fn add(&mut self, error: f64, sigma: f64) {
        let over = if sigma > 0.0 && error.is_finite() { error / sigma } else { f64::INFINITY };
        self.n += 1.0;
        self.squares += error * error;
        self.normalized += over * over;
        self.inside += f64::from(over.abs() <= SIGMAS_OF_95_PERCENT);
    }
}

/// One attempt as reconstructed.
#[derive(Debug, Clone, PartialEq)]
pub struct Scored {
    /// Seed of its lesson.
    pub seed: u64,
    /// How it was flown.
    pub group: Group,
    /// What it was to be.
    pub figure: &'static str,
    /// Errors of each of [`QUANTITIES`], in that order; nothing counted where the motion has no such column.
    pub errors: Vec<Errors>,
}

/// What came of one lesson with one recorder.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Its attempts.
    Scored(Vec<Scored>),
    /// The airplane could not be trimmed: another seed is wanted.
    NotFlown,
    /// No motion: why.
    Refused(String),
}

/// Flies a lesson, records it, reads the file and reconstructs the motion. What the reconstruction is told of the airplane is
/// its file, not the airplane as it was drawn.
#[must_use]
pub fn run(seed: u64, recorder: &Recorder) -> Outcome {
    let lesson = Lesson::draw(seed);
    match lesson.fly() {
        Some(flight) => run_flown(&lesson, &flight, recorder),
        None => Outcome::NotFlown,
    }
}

/// As [`run`], with a lesson that is flown already.
#[must_use]
pub fn run_flown(lesson: &Lesson, flight: &Flight, recorder: &Recorder) -> Outcome {
    let log = (recorder.log)(lesson, flight);
    let options = ReadOptions { name: recorder.key.into(), ..ReadOptions::default() };
    let recording = match recording::read(&log.bytes(), &options) {
        Ok(recording) => recording,
        Err(error) => return Outcome::Refused(error.to_string()),
    };
    match reconstruct(&recording, &told(lesson)) {
        Ok(motion) => {
            let group = |attempt: &Attempt| Group::of(lesson, flight, attempt);
            Outcome::Scored(score(flight, &motion, log.zero_s(), (lesson.seed, group)))
        }
        Err(error) => Outcome::Refused(error.to_string()),
    }
}

/// What the reconstruction is told: in every other lesson the airplane's file, where it has one; in one of four the altimeter
/// setting and the temperature, as a weather report rounds them.
#[must_use]
pub fn told(lesson: &Lesson) -> Known<'_> {
    let airplane = lesson.airframe.file.as_ref().filter(|_| (lesson.seed / 4).is_multiple_of(2));
    if !(lesson.seed / 8).is_multiple_of(4) {
        return Known { airplane, ..Known::default() };
    }
    let height = GeometricHeight::from_m(lesson.place.height_m);
    let temperature_c = lesson.day.air_at(height).temperature.to_c().round();
    Known {
        airplane,
        qnh: Some(Pressure::from_hpa(lesson.day.qnh.to_hpa().round())),
        temperature: Some(Temperature::from_c(temperature_c)),
        wind: None,
    }
}

/// Compares a motion with the truth, attempt by attempt; those that the motion does not span are left out. `zero_s` is the
/// time of the flight at time zero of the motion; the seed only goes with the attempts.
#[must_use]
pub fn score(
    flight: &Flight,
    motion: &motion::Motion,
    zero_s: f64,
    (seed, group): (u64, impl Fn(&Attempt) -> Group),
) -> Vec<Scored> {
    let (Some(first_s), Some(last_s)) = (motion.time_s.first(), motion.time_s.last()) else {
        return Vec::new();
    };
    let spanned = |attempt: &&Attempt| {
        attempt.start_s >= zero_s + first_s && attempt.end_s <= zero_s + last_s
    };
    let one = |attempt: &Attempt| {
        let mut errors = vec![Errors::default(); QUANTITIES.len()];
        let entry = quantity::Instant::at(motion, flight, zero_s, attempt.start_s)?;
        let count = ((attempt.end_s - attempt.start_s) * EACH_SECOND) as usize;
        // At the entry itself nothing has changed yet.
        for i in 1..=count {
            let time_s = attempt.start_s + i as f64 / EACH_SECOND;
            let Some(now) = quantity::Instant::at(motion, flight, zero_s, time_s) else { continue };
            for (errors, quantity) in errors.iter_mut().zip(QUANTITIES) {
                if let Some((error, sigma)) = (quantity.miss)(&now, &entry) {
                    errors.add(error / quantity.unit, sigma / quantity.unit);
                }
            }
        }
        let group = group(attempt);
        Some(Scored { seed, group, figure: attempt.figure, errors })
    };
    flight.attempts.iter().filter(spanned).filter_map(one).collect()
}
