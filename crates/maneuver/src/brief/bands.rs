//! Bands of what a brief hangs on, from the doubt that a fitted airplane carries: one more flight for each independent direction of it.
//!
//! Linear propagation: the reference flight is solved again with the airplane moved by one standard deviation along each direction, at
//! the entry that was chosen; squares of the differences add up.

use base::kinds::CalibratedAirspeed;
use base::units::Length;

use super::judge::{Case, Judged};
use crate::definition::Direction;
use crate::reference::ReferenceFlight;

/// A number of the flight with one standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Banded {
    /// Stable key: "height-gained".
    pub key: &'static str,
    /// In words.
    pub words: &'static str,
    /// Unit of the values.
    pub unit: &'static str,
    /// As flown by the airplane of the file.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
}

/// What is banded, worst over the sides: key, words, unit, and where it is found.
type Number = (&'static str, &'static str, &'static str, fn(&ReferenceFlight) -> f64, bool);

/// The last says whether the least over the sides is the worst.
const NUMBERS: [Number; 7] = [
    ("height-gained", "highest above entry", "ft", |f| feet(f.extremes.height_gain_max_m), true),
    ("height-lowest", "lowest against entry", "ft", |f| feet(f.extremes.height_low_m), true),
    ("speed-lowest", "slowest, indicated", "kt", |f| f.extremes.speed_min_kt, true),
    ("stall-margin", "least margin over the stall", "kt", |f| f.extremes.stall_margin_min_kt, true),
    ("speed-highest", "fastest, indicated", "kt", |f| f.extremes.speed_max_kt, false),
    ("load-factor", "greatest load factor", "g", |f| f.extremes.load_factor_max, false),
    ("time", "time", "s", duration_s, false),
];

fn feet(meters: f64) -> f64 {
    Length::from_m(meters).to_ft()
}

fn duration_s(flight: &ReferenceFlight) -> f64 {
    flight.samples.last().map_or(0.0, |last| last.time_s)
}

/// The bands; empty where the airplane carries no doubt or nothing is flown. A direction in which the airplane cannot fly it any more
/// leaves the numbers without a band, which is told by an infinite sigma.
pub(super) fn of(case: &Case<'_>, directions: &[Direction], asked: &Judged) -> Vec<Banded> {
    let Some(doubt) = &case.airplane.stated.doubt else { return Vec::new() };
    let Some(entry) = asked.flights.first().and_then(|flight| flight.samples.first()) else {
        return Vec::new();
    };
    let speed = Some(CalibratedAirspeed::from_mps(entry.calibrated_airspeed_mps));
    let values = |flights: &[ReferenceFlight]| NUMBERS.map(|number| worst(flights, &number));
    let value = values(&asked.flights);
    let mut variance = [0.0; NUMBERS.len()];
    for direction in 0..doubt.directions() {
        let moved = case.airplane.doubted(direction, 1.0);
        let case = Case { airplane: &moved, speed, ..*case };
        let flights: Result<Vec<_>, _> = directions.iter().map(|way| case.fly(*way)).collect();
        let there = flights.map_or([f64::INFINITY; NUMBERS.len()], |flights| values(&flights));
        for ((sum, there), here) in variance.iter_mut().zip(there).zip(value) {
            *sum += (there - here) * (there - here);
        }
    }
    let band = |(i, (key, words, unit, _, _)): (usize, Number)| Banded {
        key,
        words,
        unit,
        value: value[i],
        sigma: variance[i].sqrt(),
    };
    NUMBERS.into_iter().enumerate().map(band).collect()
}

fn worst(flights: &[ReferenceFlight], (_, _, _, get, least): &Number) -> f64 {
    let all = flights.iter().map(get);
    if *least { all.fold(f64::INFINITY, f64::min) } else { all.fold(f64::NEG_INFINITY, f64::max) }
}
