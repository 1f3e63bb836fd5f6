//! What the airplane can do at a mass on a day: level speeds, climb and ceilings, turns, glide. Point mass, flaps up, from the polar and
//! the thrust of the file; no sideslip, no ground.
//!
//! * [`climb`]: best rate and best angle, ceilings.
//! * [`turn`]: sustained and instantaneous turns, corner speed.
//! * [`glide`]: best glide, least sink, in wind and in turns.
//!
//! Heights outside [`HEIGHT_LEAST`] to [`HEIGHT_MOST`] (the range of the day's air) have no answer.

pub mod climb;
pub mod glide;
pub mod turn;

use base::kinds::{CalibratedAirspeed, GeometricHeight, IndicatedAirspeed, TrueAirspeed};
use base::numerics::root;
use base::units::{LoadFactor, Mass};

use crate::air::{Air, Day};
use crate::airplane::Airplane;
use crate::airspeed::{calibrated_from_true, true_from_calibrated};
use crate::point_mass::performance::greatest;
use crate::point_mass::{DensityColumn, LevelPower, PointMass, level_power};

/// Lowest height of the day's air.
pub const HEIGHT_LEAST: GeometricHeight = GeometricHeight::from_m(-500.0);
/// Greatest height of the day's air.
pub const HEIGHT_MOST: GeometricHeight = GeometricHeight::from_m(11_000.0);
/// No level speed is looked for beyond so many times the stall speed.
const SPEED_MOST_OF_STALL: f64 = 8.0;

/// One speed, as the indicator shows it and as the air has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Airspeeds {
    /// Indicated, through the position error.
    pub indicated: IndicatedAirspeed,
    /// Calibrated.
    pub calibrated: CalibratedAirspeed,
    /// True.
    pub true_airspeed: TrueAirspeed,
}

/// What bounds a speed or a load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Thrust against drag.
    Thrust,
    /// Greatest lift.
    Stall,
    /// Limit load of the category.
    Limit,
}

/// Speeds at which height is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelRange {
    /// Slowest.
    pub slowest: Airspeeds,
    /// What bounds it: thrust or the stall.
    pub slowest_bound: Bound,
    /// Fastest, which thrust bounds.
    pub fastest: Airspeeds,
}

/// Why there is no performance to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PerformanceError {
    /// No category allows the mass, or it is none.
    #[error("no category of this airplane allows {:.0} kg", .mass.to_kg())]
    Mass {
        /// As asked.
        mass: Mass,
    },
    /// The share of power is none.
    #[error("a share of power lies between 0 and 1, not at {share}")]
    Power {
        /// As asked.
        share: f64,
    },
}

/// An airplane at a mass, on a day, at a share of its power.
#[derive(Debug, Clone)]
pub struct Performance<'a> {
    airplane: &'a Airplane,
    mass: Mass,
    day: &'a Day,
    body: PointMass<'a>,
    limit: LoadFactor,
    power_share: f64,
}

impl<'a> Performance<'a> {
    /// At full power.
    ///
    /// # Errors
    /// When no category allows the mass, so that no limit load is known.
    pub fn new(airplane: &'a Airplane, mass: Mass, day: &'a Day) -> Result<Self, PerformanceError> {
        let category = airplane.category(mass).filter(|_| mass > Mass::ZERO);
        let limit = category.ok_or(PerformanceError::Mass { mass })?.load_factor_max;
        let air = DensityColumn::of_day(day, HEIGHT_LEAST.to_m(), HEIGHT_MOST.to_m());
        let body = PointMass { airplane, mass_kg: mass.to_kg(), air };
        Ok(Self { airplane, mass, day, body, limit, power_share: 1.0 })
    }
    /// At a share of full power, 0 to 1.
    ///
    /// # Errors
    /// For another share.
    pub fn with_power(self, share: f64) -> Result<Self, PerformanceError> {
        if !(0.0..=1.0).contains(&share) {
            return Err(PerformanceError::Power { share });
        }
        Ok(Self { power_share: share, ..self })
    }
    /// The mass.
    #[must_use]
    pub const fn mass(&self) -> Mass {
        self.mass
    }
    /// Power that holds this true airspeed level at a load factor; `None` outside the heights of the day's air and at
    /// no speed.
    #[must_use]
    pub fn level_power(
        &self,
        height: GeometricHeight,
        speed: TrueAirspeed,
        load: LoadFactor,
    ) -> Option<LevelPower> {
        let (height_m, speed_mps) = place(height, speed)?;
        Some(level_power(&self.body, load.to_g(), speed_mps, height_m))
    }
    /// Slowest and fastest level flight; `None` when height is not held at any speed.
    #[must_use]
    pub fn level_range(&self, height: GeometricHeight) -> Option<LevelRange> {
        let height_m = height_m(height)?;
        let excess_n = |speed_mps: f64| {
            let lift = self.body.lift_coefficient_for(1.0, speed_mps, height_m);
            self.thrust_n(speed_mps, height_m) - self.body.drag_n(lift, speed_mps, height_m)
        };
        let stall_mps = self.body.stall_speed_mps(height_m);
        let most_mps = SPEED_MOST_OF_STALL * stall_mps;
        let (best_mps, best_n) = greatest(excess_n, stall_mps, most_mps);
        if best_n < 0.0 {
            return None;
        }
        let fastest_mps = root::find(excess_n, best_mps, most_mps, 1e-9).ok()?;
        let (slowest_mps, slowest_bound) = if excess_n(stall_mps) >= 0.0 {
            (stall_mps, Bound::Stall)
        } else {
            (root::find(excess_n, stall_mps, best_mps, 1e-9).ok()?, Bound::Thrust)
        };
        let told = |speed_mps| self.airspeeds(speed_mps, height);
        let (slowest, fastest) = (told(slowest_mps), told(fastest_mps));
        Some(LevelRange { slowest, slowest_bound, fastest })
    }
    fn air(&self, height: GeometricHeight) -> Air {
        self.day.air_at(height)
    }
    fn airspeeds(&self, true_mps: f64, height: GeometricHeight) -> Airspeeds {
        let true_airspeed = TrueAirspeed::from_mps(true_mps);
        let calibrated = calibrated_from_true(true_airspeed, &self.air(height));
        Airspeeds { indicated: self.airplane.indicated(calibrated), calibrated, true_airspeed }
    }
    fn never_exceed_mps(&self, height: GeometricHeight) -> f64 {
        let calibrated = self.airplane.calibrated(self.airplane.speeds.never_exceed);
        true_from_calibrated(calibrated, &self.air(height)).to_mps()
    }
    fn thrust_n(&self, speed_mps: f64, height_m: f64) -> f64 {
        self.body.thrust_n(self.power_share, speed_mps, height_m)
    }
    fn lift_max(&self) -> f64 {
        self.airplane.aerodynamics.lift_max
    }
}

/// The height in m when the day has air there.
fn height_m(height: GeometricHeight) -> Option<f64> {
    (HEIGHT_LEAST..=HEIGHT_MOST).contains(&height).then(|| height.to_m())
}

/// Height, m, and speed, m/s, when the day has air there and the airplane moves.
fn place(height: GeometricHeight, speed: TrueAirspeed) -> Option<(f64, f64)> {
    let height_m = height_m(height)?;
    (speed.to_mps() > 0.0).then(|| (height_m, speed.to_mps()))
}
