//! Wind: the motion of the air over the ground. Named, as the trade does, by where it comes from.
//!
//! A [`WindField`] is what the equations of motion ask. Its forms, each in its file: the uniform [`Wind`], [`WindProfile`],
//! [`LinearShear`], [`DiscreteGust`], [`Turbulence`], and [`WindSum`] of several.

mod field;
mod gust;
mod profile;
mod shear;
mod sum;
pub mod turbulence;

use base::frames::{Ned, Vec3};
use base::kinds::Track;
use base::math::{cos, sin};
use base::units::{Quantity, Speed};

pub use field::{AirMotion, WindField};
pub use gust::{DiscreteGust, GustError, GustShape};
pub use profile::{ProfileError, WindProfile};
pub use shear::LinearShear;
pub use sum::WindSum;
pub use turbulence::Turbulence;

/// A uniform horizontal wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wind {
    /// Where it comes from, from true north.
    pub from: Track,
    /// How fast the air moves.
    pub speed: Speed,
}

impl Wind {
    /// No wind.
    pub const CALM: Self = Self { from: Track::NORTH, speed: Speed::ZERO };

    /// Whether it is written as calm: below half a knot.
    #[must_use]
    pub fn is_calm(&self) -> bool {
        self.speed.to_kt() < 0.5
    }

    /// Velocity of the air over the ground, expressed in north, east, down.
    #[must_use]
    pub fn velocity(&self) -> Vec3<Ned> {
        let towards_rad = self.from.to_rad() + std::f64::consts::PI;
        let speed_mps = self.speed.to_mps();
        Vec3::new(speed_mps * cos(towards_rad), speed_mps * sin(towards_rad), 0.0)
    }

    /// From the velocity of the air over the ground, north and east, m/s.
    #[must_use]
    pub fn from_velocity(north_mps: f64, east_mps: f64) -> Self {
        let speed = Speed::from_mps(base::math::hypot(north_mps, east_mps));
        Self { from: Track::from_rad(base::math::atan2(-east_mps, -north_mps)), speed }
    }

    /// Reads `270/12kt` (from 270 degrees true, 12 kt) or `calm`.
    ///
    /// # Errors
    /// A text with what was expected.
    pub fn parse(text: &str) -> Result<Self, WindError> {
        let trimmed = text.trim();
        if trimmed.eq_ignore_ascii_case("calm") {
            return Ok(Self::CALM);
        }
        let wrong = || WindError { text: text.into() };
        let (from, speed) = trimmed.split_once('/').ok_or_else(wrong)?;
        let degrees: f64 = from.trim().parse().map_err(|_| wrong())?;
        if !(0.0..=360.0).contains(&degrees) {
            return Err(wrong());
        }
        let speed: Speed = base::quantity::parse(speed).map_err(|_| wrong())?;
        if speed.to_si() < 0.0 {
            return Err(wrong());
        }
        Ok(Self { from: Track::from_deg(degrees), speed })
    }
}

/// A text that is not a wind.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("not a wind: {text:?}")]
pub struct WindError {
    /// As typed.
    pub text: String,
}

impl WindError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "write the direction it comes from in degrees true and its speed with a unit: 270/12kt, or calm"
    }
}
