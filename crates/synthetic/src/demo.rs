//! The demo flight: a lesson of some twenty minutes over an invented stretch of sea.

use base::geodesy::Geodetic;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::time::UtcInstant;
use base::units::{Angle, Mass, Pressure, Temperature};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use flight::wind::Wind;
use maneuver::Direction::{self, Left, Right};

use crate::flown::Flown;
use crate::receiver::Receiver;
use crate::script::{Deviation, Figure, Hand, Piece, Setting};
use crate::table;

/// Name of the file.
pub const FILE: &str = "saltmarsh-lesson.csv";
/// Key of the airplane flown.
pub const AIRPLANE: &str = "plover-160";

const COMMENT: &str = "An invented lesson of the demonstration: no real airplane, place or person.\n\
    Airplane plover-160, wind from 240 degrees at 14 kt. Computed by the equations of motion, with the errors of a receiver.";
/// Mass of the airplane.
pub const MASS: Mass = Mass::from_kg(930.0);
const HEIGHT: GeometricHeight = GeometricHeight::from_ft(3500.0);
const SEED: u64 = 1604;

/// The day of the demo flight.
#[must_use]
pub fn day() -> Day {
    Day {
        field_elevation: GeometricHeight::from_ft(0.0),
        qnh: Pressure::from_hpa(1016.0),
        temperature_at_field: Temperature::from_c(17.0),
        wind: Wind {
            from: base::kinds::Track::from_deg(240.0),
            speed: base::units::Speed::from_kt(14.0),
        },
    }
}

const fn figure(
    maneuver: &'static str,
    form: &'static str,
    direction: Direction,
    deviation: Deviation,
) -> Piece {
    Piece::Figure(Figure { maneuver, form, direction, deviation })
}

fn turn(direction: Direction, through_deg: f64) -> Piece {
    Piece::Turn { direction, through: Angle::from_deg(through_deg), bank: Angle::from_deg(22.0) }
}

/// What is flown.
#[must_use]
pub fn script() -> Vec<Piece> {
    let straight = |seconds| Piece::Straight { seconds };
    let down = Piece::Descent { to: HEIGHT };
    let climb_speed = CalibratedAirspeed::from_kt(75.0);
    vec![
        straight(20.0),
        Piece::Climb { to: HEIGHT, speed: climb_speed },
        straight(20.0),
        turn(Left, 90.0),
        straight(25.0),
        figure("steep-turn", "50", Left, Deviation::None),
        straight(8.0),
        figure("steep-turn", "50", Right, Deviation::None),
        straight(25.0),
        turn(Right, 120.0),
        straight(20.0),
        figure("chandelle", "shallow", Left, Deviation::RolledOutEarly(Angle::from_deg(16.0))),
        straight(15.0),
        down,
        straight(20.0),
        figure("chandelle", "shallow", Right, Deviation::None),
        straight(15.0),
        down,
        turn(Left, 60.0),
        straight(20.0),
        figure("lazy-eight", "standard", Right, Deviation::HurriedRoll(2.0)),
        straight(25.0),
        figure("lazy-eight", "standard", Left, Deviation::None),
        straight(25.0),
        turn(Left, 90.0),
        straight(20.0),
        figure("wing-over", "60", Right, Deviation::BankOff(Angle::from_deg(5.0))),
        straight(20.0),
        turn(Right, 70.0),
        Piece::Descent { to: GeometricHeight::from_ft(2500.0) },
        straight(20.0),
    ]
}

/// Where and how the demo flight begins.
#[must_use]
pub fn setting<'a>(airplane: &'a Airplane, day: &'a Day) -> Setting<'a> {
    Setting {
        airplane,
        mass: MASS,
        day,
        place: Geodetic::from_deg(47.1, -31.4, 0.0),
        height: GeometricHeight::from_ft(2700.0),
        heading: TrueHeading::from_deg(195.0),
        speed: CalibratedAirspeed::from_kt(95.0),
        hand: Hand::PRACTISED,
        seed: SEED,
    }
}

/// The flight with its truth.
///
/// # Panics
/// When the demo airplane cannot fly the script, which a test excludes.
#[must_use]
pub fn fly() -> Flown {
    let airplane = bundled::load(AIRPLANE).expect("the demo airplane is bundled");
    crate::fly(setting(&airplane, &day()), &script()).expect("the demo airplane flies the script")
}

/// When it begins.
///
/// # Panics
/// Never: the text is a date and time.
#[must_use]
pub fn start() -> UtcInstant {
    UtcInstant::parse_rfc3339("2026-06-13T09:14:00Z").expect("a date and time")
}

/// The file of the demo flight: five fixes a second, three holes.
#[must_use]
pub fn csv(flown: &Flown) -> String {
    table::csv(COMMENT, start(), &Receiver::usual(2, 3, SEED).fixes(flown))
}
