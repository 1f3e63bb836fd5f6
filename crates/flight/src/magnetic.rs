//! Magnetic variation from the World Magnetic Model (2020 and 2025), through the crate `world_magnetic_model`.
//!
//! Accuracy: within 0.005 degrees of the official test values beyond their rounding, the whole-day step of the crate and its
//! single precision (0.15 nT) included.

use base::geodesy::Geodetic;
use base::kinds::Variation;
use base::time::UtcInstant;
use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time::Date;
use world_magnetic_model::uom::si::angle::{degree, radian};
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

/// Variation could not be computed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MagneticError {
    /// The date is outside the models.
    #[error("no magnetic model for {date}")]
    Date {
        /// The date asked for.
        date: String,
    },
    /// The place is outside the models' range.
    #[error("the magnetic model does not reach this place")]
    Place,
}

impl MagneticError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Date { .. } => {
                "the models reach from 2020 to the end of 2029: give the variation by hand"
            }
            Self::Place => "give the variation by hand",
        }
    }
}

/// Variation, east positive, at a place (height above the ellipsoid) and an instant.
///
/// # Errors
/// A date outside 2020 to 2029 or a place outside the models' range.
///
/// # Source
/// WMM (NOAA/NCEI and BGS, World Magnetic Model 2020 and 2025).
pub fn variation(place: Geodetic, at: UtcInstant) -> Result<Variation, MagneticError> {
    let (year, month, day) = at.date();
    let wrong_date = || MagneticError::Date { date: format!("{year}-{month:02}-{day:02}") };
    let month = u8::try_from(month)
        .ok()
        .and_then(|month| world_magnetic_model::time::Month::try_from(month).ok());
    let day = u8::try_from(day).map_err(|_| wrong_date())?;
    let date = month
        .and_then(|month| Date::from_calendar_date(i32::from(year), month, day).ok())
        .ok_or_else(wrong_date)?;
    if !(2020..2030).contains(&year) {
        return Err(wrong_date());
    }
    let field = GeomagneticField::new(
        Length::new::<meter>(place.height_m as f32),
        Angle::new::<degree>(place.latitude_deg() as f32),
        Angle::new::<degree>(place.longitude_deg() as f32),
        date,
    )
    .map_err(|_| MagneticError::Place)?;
    Variation::try_from_rad(f64::from(field.declination().get::<radian>()))
        .ok_or(MagneticError::Place)
}
