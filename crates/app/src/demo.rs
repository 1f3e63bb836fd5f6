//! The bundled flight: an invented lesson at an invented place, so that everything can be tried without a recording.

use base::kinds::GeometricHeight;
use flight::airplane::bundled as airplanes;
use maneuver::brief::Sides;
use maneuver::standard::bundled as standards;

use crate::brief::{self, BriefAnswer};
use crate::choose;
use crate::debrief::{self, Brought, DebriefAnswer, Told};
use crate::error::AppError;
use crate::typed::{self, DayTold};

/// Name of the bundled recording.
pub const NAME: &str = "saltmarsh-lesson.csv";
/// Key of the airplane it was flown in.
pub const AIRPLANE: &str = "plover-160";
/// Key of the maneuver that is briefed.
pub const MANEUVER: &str = "chandelle";

const BYTES: &[u8] = include_bytes!("../../../data/demo/saltmarsh-lesson.csv");

/// The bundled recording.
#[must_use]
pub fn recording() -> Brought {
    Brought::new(NAME, BYTES.to_vec())
}

/// The brief of the demo: the chandelle, both ways, on the day of the bundled flight.
///
/// # Errors
/// None while the catalogue has the maneuver; kept so that callers treat it as any brief.
///
/// # Panics
/// When the bundled airplane has a fault, which a test excludes.
pub fn brief() -> Result<BriefAnswer, AppError> {
    let maneuver = choose::maneuver(MANEUVER)?;
    // The invented place lies at sea.
    let day = DayTold {
        field_elevation: typed::height("0ft").ok(),
        wind: typed::wind("240/14kt").ok(),
        ..DayTold::default()
    };
    Ok(brief::brief(&brief::Asked {
        seat: maneuver::eye::SeatSide::Left,
        maneuver,
        form: choose::form(maneuver, None)?,
        sides: Sides::Both,
        airplane: airplanes::load(AIRPLANE).expect("the demo airplane is bundled"),
        mass: None,
        height: None,
        speed: None,
        day,
        heading: None,
        place: maneuver::brief::PlaceTold::default(),
        country: None,
        hands: true,
        fit: true,
        flown: false,
        speaking_rate: None,
        script: None,
    }))
}

/// The debrief of the bundled flight.
///
/// # Errors
/// None while the bundled file is the committed one; kept so that callers treat it as any debrief.
///
/// # Panics
/// When the usual standard has a fault, which a test excludes.
pub fn debrief() -> Result<DebriefAnswer, AppError> {
    let told = Told {
        airplane: airplanes::load(AIRPLANE),
        // The invented place lies at sea.
        ground_elevation: Some(GeometricHeight::from_m(0.0)),
        ..Told::default()
    };
    let standard =
        standards::load(choose::usual_standard()).expect("the usual standard is bundled");
    debrief::debrief(vec![recording()], &told, &standard)
}
