//! From flown legs to samples: mirrored for the left, turned to the entry heading, drifting with the wind.
//!
//! Heading and bank jump where the nose passes straight up or down. Each sample's angles are exact; the unwrapped heading takes
//! the jump that brings it back toward where it began, else the way of the figure, so that a loop ends on its entry heading.

use base::frames::{Attitude, Body, Ned, Path, Rot};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueAirspeed};
use base::math::{cos, sin, wrap_pi};
use base::units::{LoadFactor, Mass};
use flight::airspeed::calibrated_from_true;
use flight::point_mass::vertical::{path_from_ned, state};
use flight::trajectory::FlightSample;
use std::f64::consts::{FRAC_PI_2, TAU};

use super::{Flown, Instant};
use crate::definition::Direction;
use crate::solve::sampling::Begin;

/// Longest step between samples, s: shorter than elsewhere, for the path bends faster.
const STEP_MAX_S: f64 = 0.05;

/// Samples of one part from its beginning to its end, both included, evenly spaced, at most 0.05 s apart.
#[must_use]
pub fn samples(flown: &Flown<'_>, direction: Direction, begin: Begin) -> Vec<FlightSample> {
    let n = (flown.time_s / STEP_MAX_S).ceil().max(1.0) as usize;
    let mut out: Vec<FlightSample> = Vec::with_capacity(n + 1);
    for i in 0..=n {
        let time_s = flown.time_s * i as f64 / n as f64;
        let last = out.last().copied();
        out.push(one(flown, (direction, begin), time_s, last.as_ref()));
    }
    out
}

/// The rotation from the path to body axes at an angle of attack.
fn body_from_path(incidence_rad: f64) -> Rot<Path, Body> {
    let (s, c) = (sin(incidence_rad), cos(incidence_rad));
    Rot::from_rows_unchecked([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
}

/// The attitude of the airplane at an instant, flown to the north and rolled to the right.
#[must_use]
pub fn body_from_ned(flown: &Flown<'_>, instant: &Instant) -> Rot<Ned, Body> {
    let incidence_rad = incidence_rad(flown, instant);
    path_from_ned(&instant.state).then(&body_from_path(incidence_rad))
}

fn lift_coefficient(flown: &Flown<'_>, instant: &Instant) -> f64 {
    let x = &instant.state;
    let body = &flown.setting().body;
    body.lift_coefficient_for(instant.load_factor, x[state::SPEED], x[state::HEIGHT])
}

fn incidence_rad(flown: &Flown<'_>, instant: &Instant) -> f64 {
    flown.setting().body.airplane.incidence_rad(lift_coefficient(flown, instant))
}

fn one(
    flown: &Flown<'_>,
    (direction, begin): (Direction, Begin),
    time_s: f64,
    last: Option<&FlightSample>,
) -> FlightSample {
    let setting = flown.setting();
    let instant = flown.at(time_s);
    let x = &instant.state;
    let (speed, height_m) = (x[state::SPEED], x[state::HEIGHT]);
    let body = body_from_ned(flown, &instant);
    // An angle of attack above nil at level entry does not turn the nose: heading and course begin together.
    let attitude = mirrored(Attitude::from_rotation(&body), direction);
    let path_as_body = Rot::<Ned, Body>::from_rows_unchecked(*path_from_ned(x).rows());
    let path = mirrored(Attitude::from_rotation(&path_as_body), direction);
    let near = |angle: f64, known: Option<f64>| {
        begin.heading_rad
            + known.map_or(angle, |known| unwrapped(angle, known - begin.heading_rad, direction))
    };
    let heading_rad = near(attitude.heading_rad, last.map(|last| last.heading_rad));
    let course_rad = near(path.heading_rad, last.map(|last| last.course_rad));
    let air = setting.column.air_at(GeometricHeight::from_m(height_m));
    let calibrated = calibrated_from_true(TrueAirspeed::from_mps(speed), &air);
    let airplane = setting.body.airplane;
    let mass = Mass::from_kg(setting.body.mass_kg);
    let stall = airplane.stall_speed(mass, LoadFactor::from_g(instant.load_factor.abs()));
    let (north, east) = (x[state::NORTH], direction.sign() * x[state::EAST]);
    let (c, s) = (cos(begin.heading_rad), sin(begin.heading_rad));
    let air_north_m = begin.air_north_m + c * north - s * east;
    let air_east_m = begin.air_east_m + s * north + c * east;
    let wind = setting.day.wind.velocity();
    let total_s = begin.time_s + time_s;
    let lift_coefficient = lift_coefficient(flown, &instant);
    FlightSample {
        time_s: total_s,
        progress_rad: instant.progress_rad,
        turned_rad: direction.sign() * (heading_rad - begin.heading_rad),
        north_m: air_north_m + wind.north() * total_s,
        east_m: air_east_m + wind.east() * total_s,
        air_north_m,
        air_east_m,
        height_m,
        true_airspeed_mps: speed,
        calibrated_airspeed_mps: calibrated.to_mps(),
        indicated_airspeed_mps: airplane
            .indicated(CalibratedAirspeed::from_mps(calibrated.to_mps()))
            .to_mps(),
        climb_rad: path.pitch_rad,
        course_rad,
        lift_bank_rad: path.bank_rad,
        incidence_rad: airplane.incidence_rad(lift_coefficient),
        heading_rad,
        pitch_rad: attitude.pitch_rad,
        bank_rad: attitude.bank_rad,
        lift_coefficient,
        load_factor: instant.load_factor,
        power_share: instant.power_share,
        stall_speed_mps: stall.to_mps(),
    }
}

/// The attitude of a figure flown to the left instead of the right.
fn mirrored(attitude: Attitude, direction: Direction) -> Attitude {
    let sign = direction.sign();
    Attitude {
        heading_rad: sign * attitude.heading_rad,
        pitch_rad: attitude.pitch_rad,
        bank_rad: sign * attitude.bank_rad,
    }
}

/// The angle, whole turns added, that follows the known one: the nearest, but through a jump of about half a turn the one nearer
/// to nil, else the one the way of the figure.
fn unwrapped(angle_rad: f64, known_rad: f64, direction: Direction) -> f64 {
    let step = wrap_pi(angle_rad - known_rad);
    let nearest = known_rad + step;
    if step.abs() < FRAC_PI_2 {
        return nearest;
    }
    let other = nearest - TAU * step.signum();
    // Equal but for rounding: the way of the figure.
    if (nearest.abs() - other.abs()).abs() < 1e-3 {
        return if nearest * direction.sign() > 0.0 { nearest } else { other };
    }
    if nearest.abs() < other.abs() { nearest } else { other }
}
