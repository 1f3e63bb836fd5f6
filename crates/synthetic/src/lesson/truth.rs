//! The truth of a lesson: everything fifty times a second, and the attempts in it.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Attitude, Body, Ned, Vec3};
use base::geodesy::{Geodetic, LocalLevel};
use base::kinds::TrueAirspeed;
use base::units::{Pressure, Temperature};
use flight::air::Air;
use flight::airspeed::calibrated_from_true;
use flight::vehicle::{Moment, State, Vehicle, World};
use motion::{Column, Motion};

use crate::flown::Whereabouts;

/// The truth at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Since the flight began, s.
    pub time_s: f64,
    /// Where; the height is above the ellipsoid and taken as that above mean sea level.
    pub place: Geodetic,
    /// Over the ground, m/s.
    pub velocity_mps: Vec3<Ned>,
    /// Attitude; the heading in (-pi, pi].
    pub attitude: Attitude,
    /// Rotation relative to inertial space, rad/s.
    pub rates_radps: Vec3<Body>,
    /// What an accelerometer at the center of gravity feels, m/s2.
    pub specific_force_mps2: Vec3<Body>,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, rad, from the right positive.
    pub beta_rad: f64,
    /// True airspeed, m/s.
    pub true_airspeed_mps: f64,
    /// Calibrated airspeed, m/s.
    pub calibrated_airspeed_mps: f64,
    /// Velocity of the air at the airplane without its gusts, m/s: what changes slowly with time and height.
    pub wind_mps: Vec3<Ned>,
    /// The same, gusts included, m/s.
    pub air_mps: Vec3<Ned>,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Static temperature, K.
    pub temperature_k: f64,
    /// Throttle, nil to one.
    pub throttle: f64,
    /// Speed of the engine, rad/s, where the airplane's data have one.
    pub engine_radps: f64,
}

impl Sample {
    /// Time and mean wind are those of the moment; the caller knows better.
    pub(super) fn of(moment: &Moment, world: &World<'_>, vehicle: &Vehicle) -> Self {
        let state = State::from_array(&moment.state);
        let instant = &moment.instant;
        let pressure_pa = instant.flow.air.pressure_pa;
        let temperature_k = instant.flow.air.temperature_k();
        let air = Air::new(Pressure::from_pa(pressure_pa), Temperature::from_k(temperature_k));
        let speed = TrueAirspeed::from_mps(instant.flow.speed_mps);
        let air_mps = world.wind.at(moment.time_s, instant.height_m).velocity_mps;
        Self {
            time_s: moment.time_s,
            place: world.earth.geodetic(state.position_m),
            velocity_mps: state.velocity_on(&world.earth),
            attitude: state.attitude_on(&world.earth),
            rates_radps: state.rates_radps,
            specific_force_mps2: instant.specific_force(&vehicle.mass),
            alpha_rad: instant.flow.alpha_rad,
            beta_rad: instant.flow.beta_rad(),
            true_airspeed_mps: speed.to_mps(),
            calibrated_airspeed_mps: calibrated_from_true(speed, &air).to_mps(),
            wind_mps: air_mps,
            air_mps,
            pressure_pa,
            temperature_k,
            throttle: moment.inputs.throttle,
            engine_radps: state.engine,
        }
    }
    /// Specific force along the normal axis upwards, g: one in level flight.
    #[must_use]
    pub fn load_factor(&self) -> f64 {
        -self.specific_force_mps2.down() / STANDARD_GRAVITY_MPS2
    }
    /// Angle of the way through the air above the horizon, rad.
    #[must_use]
    pub fn path_angle_rad(&self) -> f64 {
        let through = self.velocity_mps - self.air_mps;
        base::math::atan2(-through.down(), base::math::hypot(through.north(), through.east()))
    }
}

/// Standard deviation of what has no error: not nil, so that nothing divides by it.
const EXACT: f64 = 1e-9;

/// A figure as flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attempt {
    /// What it was to be.
    pub figure: &'static str,
    /// First movement of the controls for it, s.
    pub start_s: f64,
    /// When it is finished, s.
    pub end_s: f64,
}

/// A flight with its truth.
#[derive(Debug, Clone, PartialEq)]
pub struct Flight {
    /// Evenly spaced; of a lesson every 0.02 s from time nil.
    pub samples: Vec<Sample>,
    /// Attempts that were finished, in time order.
    pub attempts: Vec<Attempt>,
}

impl Flight {
    /// The truth at a time, the nearest sample; `None` outside the flight.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Option<&Sample> {
        let [first, second, ..] = &self.samples[..] else { return self.samples.first() };
        let place = ((time_s - first.time_s) / (second.time_s - first.time_s)).round();
        (place >= 0.0).then(|| self.samples.get(place as usize))?
    }
    /// Length, s.
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.samples.last().map_or(0.0, |sample| sample.time_s)
    }
    /// Where it was, every fifth sample: of a lesson ten times a second.
    #[must_use]
    pub fn whereabouts(&self) -> Vec<Whereabouts> {
        self.samples
            .iter()
            .step_by(5)
            .map(|one| Whereabouts {
                time_s: one.time_s,
                place: one.place,
                velocity_mps: one.velocity_mps,
            })
            .collect()
    }
    /// The motion as it was, ten times a second, without error, from a moment of the lesson on that counts as time nil: what a perfect
    /// reconstruction of a recording would give. No wind, and no motion before that moment.
    #[must_use]
    pub fn motion(&self, zero_s: f64) -> Motion {
        let samples: Vec<&Sample> =
            self.samples.iter().step_by(5).filter(|one| one.time_s >= zero_s).collect();
        let Some(first) = samples.first() else { return Motion::default() };
        let local = LocalLevel::at(first.place);
        let exact = |value: Vec<f64>| Some(Column { sigma: vec![EXACT; value.len()], value });
        let of = |get: &dyn Fn(&Sample) -> f64| exact(samples.iter().map(|one| get(one)).collect());
        let turning = |get: &dyn Fn(&Sample) -> f64| {
            let angles: Vec<f64> = samples.iter().map(|one| get(one)).collect();
            exact(base::math::unwrap_angles(&angles))
        };
        Motion {
            time_s: samples.iter().map(|one| one.time_s - zero_s).collect(),
            north_m: of(&|one| local.to_local(one.place).north()),
            east_m: of(&|one| local.to_local(one.place).east()),
            height_m: of(&|one| one.place.height_m),
            track_rad: turning(&|one| {
                base::math::atan2(one.velocity_mps.east(), one.velocity_mps.north())
            }),
            heading_rad: turning(&|one| one.attitude.heading_rad),
            path_angle_rad: of(&Sample::path_angle_rad),
            bank_rad: of(&|one| one.attitude.bank_rad),
            pitch_rad: of(&|one| one.attitude.pitch_rad),
            pitch_relative_rad: of(&|one| one.attitude.pitch_rad),
            load_factor: of(&Sample::load_factor),
            lateral_load: of(&|one| one.specific_force_mps2.right() / STANDARD_GRAVITY_MPS2),
            calibrated_airspeed_mps: of(&|one| one.calibrated_airspeed_mps),
            airborne: vec![true; samples.len()],
            ..Motion::default()
        }
    }
}
