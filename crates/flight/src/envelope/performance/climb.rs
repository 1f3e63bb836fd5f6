//! Climb: at a speed, at the best rate (V_Y), at the best angle (V_X); absolute and service ceiling.

use base::kinds::{GeometricHeight, TrueAirspeed};
use base::math::{sin, tan};
use base::numerics::root;
use base::units::{Angle, Speed};

use super::{Airspeeds, HEIGHT_LEAST, HEIGHT_MOST, Performance, height_m, place};
use crate::point_mass::performance::greatest;
use crate::point_mass::steady_path;

/// Rate of climb left at the service ceiling: 100 ft/min (common practice, no source).
pub const SERVICE_CEILING_RATE: Speed = Speed::from_fpm(100.0);

/// A steady climb, or descent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Climb {
    /// Speed along the path.
    pub airspeeds: Airspeeds,
    /// Rate of climb, below zero for a descent.
    pub rate: Speed,
    /// Angle above the horizon.
    pub angle: Angle,
    /// Height over distance through the air, the tangent of the angle.
    pub gradient: f64,
    /// Whether the stall bounds the choice: a slower speed would be better yet if the wing had the lift.
    pub at_stall: bool,
}

/// Height at which only a given rate of climb is left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ceiling {
    /// There.
    At(GeometricHeight),
    /// Above the range of the day's air.
    AboveRange,
    /// The rate is not reached at any height.
    Nowhere,
}

impl Performance<'_> {
    /// The steady climb at a true airspeed and a bank; `None` when the wing stalls, when the path would be vertical, or outside the
    /// heights of the day's air.
    #[must_use]
    pub fn climb_at(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        bank: Angle,
    ) -> Option<Climb> {
        let (height_m, speed_mps) = place(height, speed)?;
        let angle_rad = self.climb_rad(speed_mps, height_m, bank.to_rad())?;
        Some(Climb {
            airspeeds: self.airspeeds(speed_mps, height),
            rate: Speed::from_mps(speed_mps * sin(angle_rad)),
            angle: Angle::from_rad(angle_rad),
            gradient: tan(angle_rad),
            at_stall: false,
        })
    }
    fn climb_rad(&self, speed_mps: f64, height_m: f64, bank_rad: f64) -> Option<f64> {
        let thrust_n = self.thrust_n(speed_mps, height_m);
        let path = steady_path(&self.body, thrust_n, speed_mps, height_m, bank_rad)?;
        (path.lift_coefficient <= self.lift_max() * (1.0 + 1e-12)).then_some(path.climb_rad)
    }
    /// Climb at the best rate, V_Y, from the stall to the never-exceed speed; the rate is below zero above the absolute ceiling.
    #[must_use]
    pub fn climb_best_rate(&self, height: GeometricHeight) -> Option<Climb> {
        self.climb_best(height, |speed_mps, angle_rad| speed_mps * sin(angle_rad))
    }
    /// Climb at the best angle in still air, V_X.
    #[must_use]
    pub fn climb_best_angle(&self, height: GeometricHeight) -> Option<Climb> {
        self.climb_best(height, |_, angle_rad| angle_rad)
    }
    fn climb_best(
        &self,
        height: GeometricHeight,
        merit: impl Fn(f64, f64) -> f64,
    ) -> Option<Climb> {
        let height_m = height_m(height)?;
        let stall_mps = self.body.stall_speed_mps(height_m);
        let merit = |speed_mps: f64| {
            self.climb_rad(speed_mps, height_m, 0.0)
                .map_or(f64::NEG_INFINITY, |angle_rad| merit(speed_mps, angle_rad))
        };
        let (speed_mps, _) = greatest(merit, stall_mps, self.never_exceed_mps(height));
        let climb = self.climb_at(height, TrueAirspeed::from_mps(speed_mps), Angle::ZERO)?;
        Some(Climb { at_stall: speed_mps < stall_mps * (1.0 + 1e-6), ..climb })
    }
    /// Height at which the best rate of climb is this: nil for the absolute ceiling, [`SERVICE_CEILING_RATE`] for the service ceiling.
    #[must_use]
    pub fn ceiling(&self, rate: Speed) -> Ceiling {
        let left_mps = |height_m: f64| {
            let climb = self.climb_best_rate(GeometricHeight::from_m(height_m));
            climb.map_or(-1e3, |climb| climb.rate.to_mps() - rate.to_mps())
        };
        let (least_m, most_m) = (HEIGHT_LEAST.to_m(), HEIGHT_MOST.to_m());
        if left_mps(most_m) > 0.0 {
            return Ceiling::AboveRange;
        }
        root::find(left_mps, least_m, most_m, 0.01)
            .map_or(Ceiling::Nowhere, |height_m| Ceiling::At(GeometricHeight::from_m(height_m)))
    }
}
