//! A flight with a fault in it, for an instructor's own practice.

use assess::practice::{Planted, PracticeError, plant, plantable};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::frames::{Ned, Vec3};
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan2, hypot};
use base::numerics::random::SplitMix;
use base::time::UtcInstant;
use maneuver::Direction;
use maneuver::brief::Sides;
use report::model::Document;
use std::fmt::Write as _;

use crate::answer::{self, Answer};
use crate::brief::{Asked, brief};
use crate::error::AppError;

#[cfg(test)]
mod tests;

/// A practice flight.
#[derive(Debug, Clone)]
pub struct PracticeAnswer {
    planted: Planted,
    airplane: String,
    seed: u64,
    revealed: bool,
}

/// Formats of a practice flight: the sheet, and the recording.
#[must_use]
pub fn formats() -> Vec<&'static str> {
    answer::of_words().into_iter().chain(["csv"]).collect()
}

/// Flies the maneuver with a fault in it: the one asked for, or one that the seed draws.
///
/// # Errors
/// The maneuver cannot be flown by the airplane, or it does not take the fault.
pub fn practice(
    asked: &Asked,
    fault: Option<&str>,
    (seed, revealed): (u64, bool),
) -> Result<PracticeAnswer, AppError> {
    let sides = match asked.sides {
        Sides::Both if seed.is_multiple_of(2) => Sides::One(Direction::Left),
        Sides::Both => Sides::One(Direction::Right),
        one @ Sides::One(_) => one,
    };
    let asked = Asked { sides, hands: false, fit: false, ..asked.clone() };
    let briefed = brief(&asked).brief;
    let flight = briefed.sides.first().ok_or_else(|| {
        let why = briefed.reasons.join("; ");
        AppError::request(
            format!("{}: no reference flight to plant a fault in: {why}", asked.maneuver.id()),
            "choose another airplane, entry or day (see `skychalk brief`)",
        )
    })?;
    let planted = plant(flight, &asked.airplane, fault, seed).map_err(|error| {
        let hint = match &error {
            PracticeError::Fault { maneuver, .. } => {
                format!("one of: {}", plantable(maneuver).join(", "))
            }
            _ => "chandelle, lazy-eight, wing-over and steep-turn take faults".into(),
        };
        AppError::request(error.to_string(), hint)
    })?;
    Ok(PracticeAnswer { planted, airplane: asked.airplane.name.clone(), seed, revealed })
}

impl Answer for PracticeAnswer {
    fn formats(&self) -> Vec<&'static str> {
        formats()
    }
    fn document(&self) -> Option<Document> {
        let Self { planted, airplane, seed, revealed } = self;
        Some(report::practice::document(planted, airplane, *seed, *revealed))
    }
    fn json(&self) -> String {
        let Self { planted, airplane, seed, revealed } = self;
        wire::to_json(&wire::practice::Practice::new(planted, airplane, *seed, *revealed))
    }
    fn csv(&self) -> Option<String> {
        Some(recording(&self.planted, self.seed))
    }
}

/// Errors of a usual receiver, one sigma: place (slow), height (slow), velocity.
const PLACE_M: f64 = 1.5;
const HEIGHT_M: f64 = 2.5;
const VELOCITY_MPS: f64 = 0.07;
const SLOW_S: f64 = 60.0;
/// Of a panel: airspeed, bank.
const AIRSPEED_KT: f64 = 0.5;
const BANK_DEG: f64 = 0.3;
/// Between two fixes, s.
const FIX_S: f64 = 0.25;

/// The flight as a receiver and a panel would have written it, at an invented place.
fn recording(planted: &Planted, seed: u64) -> String {
    let mut dice = SplitMix::new(seed ^ 0x5EED_F11E);
    let begin = UtcInstant::parse_rfc3339("2026-01-05T10:00:00Z").expect("a fixed instant");
    let level = LocalLevel::at(Geodetic::from_deg(47.1, -31.4, 0.0));
    let keep = base::math::exp(-FIX_S / SLOW_S);
    let fresh = (1.0 - keep * keep).sqrt();
    let mut slow = [0.0; 3].map(|_: f64| dice.normal());
    let mut out = String::from(
        "# A practice flight: computed, flown by nobody, with one fault in it.\nutc,latitude_deg,longitude_deg,height_msl_m,ground_speed_mps,track_deg,climb_mps,ias_kt,roll_deg\n",
    );
    let every = (FIX_S / step_s(planted)).round().max(1.0) as usize;
    for (k, sample) in planted.samples.iter().enumerate().step_by(every) {
        for one in &mut slow {
            *one = keep * *one + fresh * dice.normal();
        }
        let next = planted.samples.get(k + 1).unwrap_or(sample);
        let apart_s = (next.time_s - sample.time_s).max(1e-3);
        let mut rate = |a: f64, b: f64| (b - a) / apart_s + VELOCITY_MPS * dice.normal();
        let (north, east) = (rate(sample.north_m, next.north_m), rate(sample.east_m, next.east_m));
        let climb = rate(sample.height_m, next.height_m);
        let place = level.to_geodetic(Vec3::<Ned>::new(
            sample.north_m + PLACE_M * slow[0],
            sample.east_m + PLACE_M * slow[1],
            0.0,
        ));
        let track_deg = (atan2(east, north) / RAD_PER_DEG).rem_euclid(360.0);
        let _ = writeln!(
            out,
            "{},{:.7},{:.7},{:.2},{:.2},{:.2},{:.2},{:.1},{:.1}",
            begin.plus_seconds(sample.time_s),
            place.latitude_deg(),
            place.longitude_deg(),
            sample.height_m + HEIGHT_M * slow[2],
            hypot(north, east),
            track_deg,
            climb,
            sample.calibrated_airspeed_mps / MPS_PER_KT + AIRSPEED_KT * dice.normal(),
            sample.bank_rad / RAD_PER_DEG + BANK_DEG * dice.normal(),
        );
    }
    out
}

fn step_s(planted: &Planted) -> f64 {
    match planted.samples.as_slice() {
        [first, second, ..] => second.time_s - first.time_s,
        _ => FIX_S,
    }
}
