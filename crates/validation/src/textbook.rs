//! The textbook's F-16 in the textbook's air over its flat earth, trimmed by the engine: what several groups begin with.

use std::sync::Arc;

use base::factors::{M_PER_FT, RAD_PER_DEG};
use base::frames::Vec3;
use base::kinds::{TrueAirspeed, TrueHeading};
use base::units::AngularRate;
use flight::air::AirColumn;
use flight::controls::{Actuator, Actuators};
use flight::trim::{Airspeed, Balance, Conditions, Curve, Trim, trim};
use flight::vehicle::{Vehicle, World};
use flight::wind::Wind;

use crate::f16::{Edition, Tables, TablesError, book_air, book_earth, f16};
use crate::files::Files;

/// The tables of the book's edition, read once.
#[derive(Debug, Clone)]
pub struct Textbook {
    tables: Arc<Tables>,
    air: AirColumn,
}

impl Textbook {
    /// Reads the tables.
    ///
    /// # Errors
    /// A file that is not here, or tables that are not as published.
    pub fn read(files: &Files<'_>) -> Result<Self, TablesError> {
        let tables = Arc::new(Tables::read(files, Edition::Book)?);
        Ok(Self { tables, air: book_air() })
    }
    /// The airplane with its center of gravity at this share of the mean chord, and the limits of its surfaces (SL-2003,
    /// section 3.5: 25, 21.5 and 30 degrees).
    #[must_use]
    pub fn airplane(&self, center_chord: f64) -> Vehicle {
        let mut airplane = f16(&self.tables, center_chord)
            .expect("published mass and inertia are those of a body");
        let limited = |deg: f64| Actuator {
            limits_rad: (-deg * RAD_PER_DEG, deg * RAD_PER_DEG),
            ..Actuator::DIRECT
        };
        airplane.actuators =
            Actuators { elevator: limited(25.0), aileron: limited(21.5), rudder: limited(30.0) };
        airplane
    }
    /// Where it flies.
    #[must_use]
    pub const fn world(&self) -> World<'_> {
        World { earth: book_earth(), air: &self.air, wind: &Wind::CALM }
    }
    /// Level flight at sea level, wings level and without sideslip, or a level turn at this rate, rad/s, with the ball centred.
    #[must_use]
    pub fn level(&self, vehicle: &Vehicle, speed_ftps: f64, turn_radps: f64) -> Trim {
        let speed = TrueAirspeed::from_mps(speed_ftps * M_PER_FT);
        let level = Conditions::level(Vec3::ZERO, Airspeed::True(speed));
        let curve = Curve::Turn(AngularRate::from_radps(turn_radps));
        let conditions = Conditions { curve, balance: Balance::Ball, ..level };
        trim(vehicle, &self.world(), &conditions).expect("sound conditions")
    }
    /// The same turn, begun with the path to the north.
    #[must_use]
    pub fn turn_from_north(&self, vehicle: &Vehicle, speed_ftps: f64, turn_radps: f64) -> Trim {
        let first = self.level(vehicle, speed_ftps, turn_radps);
        let velocity = first.state.velocity_on(&self.world().earth);
        let course = base::math::atan2(velocity.y, velocity.x);
        let speed = TrueAirspeed::from_mps(speed_ftps * M_PER_FT);
        let level = Conditions::level(Vec3::ZERO, Airspeed::True(speed));
        let curve = Curve::Turn(AngularRate::from_radps(turn_radps));
        let heading = TrueHeading::from_rad(-course);
        let conditions = Conditions { curve, heading, ..level };
        trim(vehicle, &self.world(), &conditions).expect("sound conditions")
    }
}

/// Degrees of radians.
#[must_use]
pub fn degrees(radians: f64) -> f64 {
    radians / RAD_PER_DEG
}

/// Half a unit of the last printed digit of a number as printed: `-0.756` gives 0.0005, `27.2` gives 0.05.
#[must_use]
pub fn half_digit(printed: &str) -> f64 {
    let decimals = printed.split_once('.').map_or(0, |(_, after)| after.len());
    0.5 / base::math::pow(10.0, decimals as f64)
}

#[cfg(test)]
mod tests {
    use super::half_digit;

    #[test]
    fn printed_digits_are_counted() {
        assert!((half_digit("-0.756") - 0.0005).abs() < 1e-15);
        assert!((half_digit("27.2") - 0.05).abs() < 1e-15);
        assert!((half_digit("20") - 0.5).abs() < 1e-15);
    }
}
