//! Stretches of a flight and what they are in the pilot's words.

use base::factors::{MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::hypot;

use super::track::{STEP_S, Second, Track};
use crate::model::Moment;

/// Steps in a stretch: eight seconds are long enough for the noise of speed and height, short enough to be of one kind.
pub const STEPS: usize = 8;
/// The next stretch begins in the middle of the one before: where stretches happen to begin then matters little, each second stands in two.
pub const HOP: usize = STEPS / 2;
/// How much of the doubt of true airspeed changes within a stretch (our judgement, no source: most of it is wind).
const SPEED_DOUBT_CHANGES: f64 = 0.45;
/// Doubt of a change of height within a stretch, m (our judgement, no source).
const HEIGHT_CHANGE_SIGMA_M: f64 = 0.8;
/// A wing that carries less than this says little of drag.
const LOAD_LEAST: f64 = 0.3;

/// A stretch in the pilot's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Straight and level, slowing.
    LevelDeceleration,
    /// Straight and level, gaining speed.
    LevelAcceleration,
    /// Straight and level, speed held.
    Level,
    /// Straight, climbing, speed nearly held.
    Climb,
    /// Straight, descending, speed nearly held.
    Descent,
    /// Banked, height nearly held.
    Turn,
    /// Everything else: speed and height traded.
    Maneuver,
}

impl Kind {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::LevelDeceleration => "level deceleration",
            Self::LevelAcceleration => "level acceleration",
            Self::Level => "level",
            Self::Climb => "climb",
            Self::Descent => "descent",
            Self::Turn => "turn",
            Self::Maneuver => "height traded for speed",
        }
    }
}

/// A stretch that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Beginning, s from time zero of the recording.
    pub start_s: f64,
    /// What it is.
    pub kind: Kind,
    /// Its moments.
    pub moments: Vec<Moment>,
    /// Mean calibrated airspeed, m/s.
    pub calibrated_mps: f64,
    /// Mean specific excess power, m/s.
    pub excess_mps: f64,
    /// Part of it that went into speed, m/s.
    pub kinetic_mps: f64,
    /// One standard deviation of the mean from the recording's noise, m/s.
    pub sigma_mps: f64,
}

impl Found {
    /// The moment in the middle.
    #[must_use]
    pub fn middle(&self) -> &Moment {
        &self.moments[self.moments.len() / 2]
    }
    /// Mean load factor.
    #[must_use]
    pub fn load(&self) -> f64 {
        self.moments.iter().map(|moment| moment.load).sum::<f64>() / self.moments.len() as f64
    }
    /// Mean speed of rotation, revolutions a second, and the range it went through.
    #[must_use]
    pub fn rotation(&self) -> Option<(f64, f64)> {
        let all: Option<Vec<f64>> = self.moments.iter().map(|m| m.rotation_rps).collect();
        let all = all?;
        let (low, high) =
            all.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), v| (low.min(*v), high.max(*v)));
        Some((all.iter().sum::<f64>() / all.len() as f64, high - low))
    }
}

/// Cuts a flight into stretches, each from the middle of the one before. Linear in its length.
#[must_use]
pub fn find(track: &Track) -> Vec<Found> {
    let mut out = Vec::new();
    let mut first = 0;
    while first + STEPS < track.seconds.len() {
        let seconds = &track.seconds[first..=first + STEPS];
        let bad = seconds.iter().rposition(|s| !s.usable || s.load < LOAD_LEAST);
        match bad {
            Some(bad) => first += bad + 1,
            None => {
                out.push(stretch(seconds));
                first += HOP;
            }
        }
    }
    out
}

fn stretch(seconds: &[Second]) -> Found {
    let (a, b) = (&seconds[0], &seconds[seconds.len() - 1]);
    let duration_s = STEP_S * (seconds.len() - 1) as f64;
    let kinetic = |s: &Second| s.true_mps * s.true_mps / (2.0 * STANDARD_GRAVITY_MPS2);
    let kinetic_mps = (kinetic(b) - kinetic(a)) / duration_s;
    let climb_mps = (b.height_m - a.height_m) / duration_s;
    let mean = |f: fn(&Second) -> f64| seconds.iter().map(f).sum::<f64>() / seconds.len() as f64;
    let speed = mean(|s| s.true_mps);
    let speed_m = SPEED_DOUBT_CHANGES * mean(|s| s.true_sigma_mps) * speed / STANDARD_GRAVITY_MPS2;
    let moment = |s: &Second| Moment {
        true_mps: s.true_mps,
        density_kgpm3: s.density_kgpm3,
        load: s.load,
        rotation_rps: s.rotation_rps,
    };
    let faster_mps = b.true_mps - a.true_mps;
    Found {
        start_s: a.time_s,
        kind: kind(mean(|s| s.bank_rad.abs()), climb_mps, faster_mps),
        moments: seconds.iter().map(moment).collect(),
        calibrated_mps: mean(|s| s.calibrated_mps),
        excess_mps: climb_mps + kinetic_mps,
        kinetic_mps,
        sigma_mps: hypot(speed_m, HEIGHT_CHANGE_SIGMA_M) / duration_s,
    }
}

fn kind(bank_rad: f64, climb_mps: f64, faster_mps: f64) -> Kind {
    let level = climb_mps.abs() < 200.0 * MPS_PER_FPM;
    let held = faster_mps.abs() < 6.0 * MPS_PER_KT;
    match (bank_rad > 15.0 * RAD_PER_DEG, level, held) {
        (true, true, _) => Kind::Turn,
        (false, true, true) => Kind::Level,
        (false, true, false) if faster_mps < 0.0 => Kind::LevelDeceleration,
        (false, true, false) => Kind::LevelAcceleration,
        (false, false, true) if climb_mps > 0.0 => Kind::Climb,
        (false, false, true) => Kind::Descent,
        _ => Kind::Maneuver,
    }
}
