//! How the air of a lesson moves: a wind that changes with height and slowly with time, and gusts.

use base::frames::{Ned, Vec3};
use base::math::sin;
use flight::wind::turbulence::{Scales, Settings, Spectrum};
use flight::wind::{AirMotion, LinearShear, Turbulence, Wind, WindField, WindSum};

use super::airframe::Airframe;
use super::{LONGEST_S, Sort};
use crate::dice::Dice;

/// A wind that swells and falls over many minutes, the same at every height.
#[derive(Debug, Clone, Copy)]
struct SlowChange {
    amplitude_mps: Vec3<Ned>,
    period_s: f64,
    phase_rad: f64,
}

impl WindField for SlowChange {
    fn at(&self, time_s: f64, _height_m: f64) -> AirMotion {
        let swing = sin(std::f64::consts::TAU * time_s / self.period_s + self.phase_rad);
        AirMotion { velocity_mps: self.amplitude_mps * swing, ..AirMotion::STILL }
    }
}

/// How the air of a lesson is to move.
#[derive(Debug)]
pub(super) struct Plan {
    shear: LinearShear,
    slow: SlowChange,
    gusts: Option<Settings>,
}

impl Plan {
    /// The air, its gusts made ahead: linear in the length of the longest lesson.
    pub(super) fn sky(&self) -> Sky {
        let parts: Vec<Box<dyn WindField>> = vec![Box::new(self.shear), Box::new(self.slow)];
        let made = |settings: &Settings| {
            Turbulence::try_new(settings).expect("lengths, speed and times are above nil")
        };
        Sky { mean: WindSum { parts }, gusts: self.gusts.as_ref().map(made) }
    }
}

/// The air of a lesson.
#[derive(Debug)]
pub(super) struct Sky {
    /// What changes slowly with time and height: what is called the wind.
    mean: WindSum,
    gusts: Option<Turbulence>,
}

impl Sky {
    /// The wind without its gusts.
    pub(super) fn mean(&self, time_s: f64, height_m: f64) -> Vec3<Ned> {
        self.mean.at(time_s, height_m).velocity_mps
    }
}

impl WindField for Sky {
    fn at(&self, time_s: f64, height_m: f64) -> AirMotion {
        let mean = self.mean.at(time_s, height_m);
        let Some(gusts) = &self.gusts else { return mean };
        let gust = gusts.at(time_s, height_m);
        AirMotion { velocity_mps: mean.velocity_mps + gust.velocity_mps, ..gust }
    }
}

/// Draws the motion of the air about a wind at the height where the lesson begins.
pub(super) fn draw(
    sort: Sort,
    (airframe, speed_mps, height_m): (&Airframe, f64, f64),
    wind: Wind,
    dice: &mut Dice,
) -> Plan {
    let level = |spread: f64, dice: &mut Dice| {
        Vec3::<Ned>::new(spread * dice.normal(), spread * dice.normal(), 0.0)
    };
    // Some knots for a thousand feet are usual; common practice, no source.
    let shear = LinearShear {
        velocity_mps: wind.velocity(),
        height_reference_m: height_m,
        gradient_per_s: level(0.004, dice),
    };
    let slow = SlowChange {
        amplitude_mps: level(0.6, dice),
        period_s: dice.between(500.0, 2000.0),
        phase_rad: dice.between(0.0, std::f64::consts::TAU),
    };
    // Even smooth air is not quite still.
    let rough_mps = match sort {
        Sort::Turbulent => dice.between(0.5, 1.6),
        Sort::Coordinated | Sort::Uncoordinated => dice.between(0.0, 0.15),
    };
    let gusts =
        (rough_mps > 0.02).then(|| gusts(rough_mps, (airframe.span_m, speed_mps), wind, dice));
    Plan { shear, slow, gusts }
}

fn gusts(
    rough_mps: f64,
    (span_m, airspeed_mps): (f64, f64),
    wind: Wind,
    dice: &mut Dice,
) -> Settings {
    let length_m = dice.between(250.0, 533.0);
    Settings {
        spectrum: Spectrum::Dryden,
        scales: Scales { lengths_m: [length_m; 3], intensities_mps: [rough_mps; 3] },
        airspeed_mps,
        span_m,
        along: wind.from,
        step_s: 0.02,
        duration_s: LONGEST_S,
        seed: dice.bits(),
    }
}
