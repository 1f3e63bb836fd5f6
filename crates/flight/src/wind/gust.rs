//! One gust of given shape and length that an airplane of given speed flies into.

use base::frames::{Ned, Vec3};
use base::math::cos;

use super::{AirMotion, WindField};

/// How the gust grows along the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GustShape {
    /// One period of `(1 - cos)/2`: nil at both ends, full in the middle of the length. Source: 14-CFR-23.333, (c).
    OneMinusCosine,
    /// Half a period over the length, then held. Source: MIL-F-8785C, 3.7.3.
    RampAndHold,
}

/// A discrete gust, frozen in the air, met at a steady airspeed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiscreteGust {
    shape: GustShape,
    start_s: f64,
    length_m: f64,
    airspeed_mps: f64,
    peak_mps: Vec3<Ned>,
}

#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "a gust needs a positive length and airspeed and a finite start and peak, not {length_m} m at {airspeed_mps} m/s"
)]
/// A gust that cannot be.
pub struct GustError {
    /// Length asked for.
    pub length_m: f64,
    /// Airspeed asked for.
    pub airspeed_mps: f64,
}

impl GustError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "give the length over which the gust acts and the true airspeed, both above nil"
    }
}

impl DiscreteGust {
    /// A gust met at a time, s, with its length along the way, m, the true airspeed that it is met with, m/s, and its velocity
    /// at the peak, m/s (an updraft has a negative down component).
    ///
    /// # Errors
    /// A length or airspeed that is not positive, a start or peak that is not finite.
    pub fn try_new(
        shape: GustShape,
        start_s: f64,
        length_m: f64,
        airspeed_mps: f64,
        peak_mps: Vec3<Ned>,
    ) -> Result<Self, GustError> {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        let met = start_s.is_finite() && peak_mps.norm().is_finite();
        if !(positive(length_m) && positive(airspeed_mps) && met) {
            return Err(GustError { length_m, airspeed_mps });
        }
        Ok(Self { shape, start_s, length_m, airspeed_mps, peak_mps })
    }

    /// The design gust of 14-CFR-23.333, (c): `(1 - cos)/2` over 25 mean geometric chords. Its peak velocity
    /// is that of [`crate::envelope::gust::design_gust`].
    ///
    /// # Errors
    /// As [`DiscreteGust::try_new`].
    pub fn design(
        start_s: f64,
        chord_m: f64,
        airspeed_mps: f64,
        peak_mps: Vec3<Ned>,
    ) -> Result<Self, GustError> {
        let shape = GustShape::OneMinusCosine;
        Self::try_new(shape, start_s, 25.0 * chord_m, airspeed_mps, peak_mps)
    }

    /// Share of the peak at a distance into the gust, 0 to 1.
    fn share(&self, distance_m: f64) -> f64 {
        let along = distance_m / self.length_m;
        let turn = match self.shape {
            GustShape::OneMinusCosine => std::f64::consts::TAU,
            GustShape::RampAndHold => std::f64::consts::PI,
        };
        if along <= 0.0 {
            return 0.0;
        }
        0.5 * (1.0 - cos(turn * along.min(1.0)))
    }
}

impl WindField for DiscreteGust {
    fn at(&self, time_s: f64, _height_m: f64) -> AirMotion {
        let share = self.share(self.airspeed_mps * (time_s - self.start_s));
        AirMotion { velocity_mps: self.peak_mps * share, ..AirMotion::STILL }
    }
}
