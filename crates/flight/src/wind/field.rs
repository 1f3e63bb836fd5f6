//! How the air moves where the airplane is: one trait, one file for each form.

use base::frames::{Body, Ned, Vec3};

use base::units::Speed;

use super::Wind;

/// Motion of the air at a place and time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirMotion {
    /// Velocity over the ground, m/s.
    pub velocity_mps: Vec3<Ned>,
    /// Turning of the air felt as roll, pitch and yaw rates by an airplane at rest in it, rad/s; nil in a mean wind.
    pub rotation_radps: Vec3<Body>,
}

impl AirMotion {
    /// At rest over the ground.
    pub const STILL: Self = Self { velocity_mps: Vec3::ZERO, rotation_radps: Vec3::ZERO };
}

/// The motion of the air over time and height above mean sea level.
pub trait WindField: std::fmt::Debug + Send + Sync {
    /// Motion at a time, s, and height, m. Must not allocate.
    fn at(&self, time_s: f64, height_m: f64) -> AirMotion;

    /// Whether the air is at rest everywhere and always, so that [`Self::at`] need not be asked. No, where it is not known.
    fn is_calm(&self) -> bool {
        false
    }
}

impl WindField for Wind {
    fn at(&self, _time_s: f64, _height_m: f64) -> AirMotion {
        if self.is_calm() {
            return AirMotion::STILL; // spares two transcendental functions in every step
        }
        AirMotion { velocity_mps: self.velocity(), ..AirMotion::STILL }
    }
    fn is_calm(&self) -> bool {
        self.speed == Speed::ZERO
    }
}
