//! Where the sun stands: azimuth and elevation for a place and an instant.
//!
//! The low-accuracy position of the sun of MEEUS-1998, chapter 25 (mean longitude, equation of the center, apparent longitude), and
//! sidereal time of its chapter 12. Accuracy: some 0.01 degrees of the sun's place between 1950 and 2050; refraction (below 0.1 degrees
//! above 10 degrees of elevation, half a degree at the horizon) and parallax are left out, which is far finer than where a glare begins.

use base::factors::RAD_PER_DEG;
use base::math::{asin, atan2, cos, sin, tan};
use base::time::UtcInstant;

/// A place on the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// North positive, rad.
    pub latitude_rad: f64,
    /// East positive, rad.
    pub longitude_rad: f64,
}

/// Where the sun stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// From true north, clockwise, rad, 0 to 2 pi.
    pub azimuth_rad: f64,
    /// Above the horizon, without refraction, rad.
    pub elevation_rad: f64,
}

/// Right ascension and declination of the sun, apparent, of the date, rad.
///
/// # Source
/// MEEUS-1998, (25.2) to (25.8). `centuries`: Julian centuries of dynamical time from J2000.
#[must_use]
pub fn right_ascension_and_declination_rad(centuries: f64) -> (f64, f64) {
    let t = centuries;
    let mean_longitude = 280.466_46 + t * (36_000.769_83 + t * 0.000_303_2);
    let mean_anomaly = (357.529_11 + t * (35_999.050_29 - t * 0.000_153_7)) * RAD_PER_DEG;
    let center = (1.914_602 - t * (0.004_817 + t * 0.000_014)) * sin(mean_anomaly)
        + (0.019_993 - t * 0.000_101) * sin(2.0 * mean_anomaly)
        + 0.000_289 * sin(3.0 * mean_anomaly);
    let node = (125.04 - 1934.136 * t) * RAD_PER_DEG;
    let longitude = (mean_longitude + center - 0.005_69 - 0.004_78 * sin(node)) * RAD_PER_DEG;
    let mean_obliquity = 23.439_291_1 - t * (0.013_004_2 + t * (1.64e-7 - t * 5.04e-7));
    let obliquity = (mean_obliquity + 0.002_56 * cos(node)) * RAD_PER_DEG;
    let right_ascension = atan2(cos(obliquity) * sin(longitude), cos(longitude));
    (right_ascension, asin(sin(obliquity) * sin(longitude)))
}

/// Days from J2000 (2000-01-01T12:00:00) to an instant.
fn days_j2000(at: UtcInstant) -> f64 {
    const J2000_UNIX_S: i64 = 946_728_000;
    at.seconds_since(UtcInstant::from_unix_microseconds(J2000_UNIX_S * 1_000_000)) / 86_400.0
}

/// Seconds of dynamical time ahead of universal time, about: 64 in 2000, 69 in 2020. A minute moves the sun by 0.0007 degrees.
const DYNAMICAL_AHEAD_S: f64 = 69.0;

/// Where the sun stands at an instant over a place.
///
/// # Source
/// MEEUS-1998, (12.4) and (13.5), (13.6).
#[must_use]
pub fn sun(at: UtcInstant, place: &Place) -> Sun {
    let days = days_j2000(at);
    let centuries = (days + DYNAMICAL_AHEAD_S / 86_400.0) / 36_525.0;
    let (right_ascension, declination) = right_ascension_and_declination_rad(centuries);
    let sidereal_deg = (280.460_618_37 + 360.985_647_366_29 * days).rem_euclid(360.0);
    let hour_angle = sidereal_deg * RAD_PER_DEG + place.longitude_rad - right_ascension;
    let (sp, cp) = (sin(place.latitude_rad), cos(place.latitude_rad));
    let from_south = atan2(sin(hour_angle), cos(hour_angle) * sp - tan(declination) * cp);
    let elevation = asin(sp * sin(declination) + cp * cos(declination) * cos(hour_angle));
    Sun {
        azimuth_rad: base::math::wrap_two_pi(from_south + std::f64::consts::PI),
        elevation_rad: elevation,
    }
}

impl Sun {
    /// Angle between the sun and a point on the horizon, rad.
    #[must_use]
    pub fn from_horizon_point_rad(&self, azimuth_rad: f64) -> f64 {
        let cos_angle = cos(self.elevation_rad) * cos(azimuth_rad - self.azimuth_rad);
        base::math::acos(cos_angle.clamp(-1.0, 1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::{Place, right_ascension_and_declination_rad, sun};
    use base::factors::RAD_PER_DEG;
    use base::time::UtcInstant;

    /// MEEUS-1998, example 25.a: 1992 October 13, 0h TD: apparent right ascension 198.38083, declination -7.78507 degrees.
    #[test]
    fn val_the_sun_of_the_worked_example() {
        let (right_ascension, declination) = right_ascension_and_declination_rad(-0.072_183_436);
        let wrapped = (right_ascension / RAD_PER_DEG).rem_euclid(360.0);
        assert!((wrapped - 198.380_83).abs() < 2e-4, "{wrapped}");
        assert!((declination / RAD_PER_DEG + 7.785_07).abs() < 2e-4, "{declination}");
    }

    /// NREL-560-34302 (Reda, Andreas, 2004), the example of its appendix: 2003-10-17 12:30:30 at UTC-7, 39.742476 N, 105.1786 W:
    /// zenith 50.11162 degrees (refraction of 0.016 in it), azimuth 194.34024.
    #[test]
    fn val_the_sun_over_the_place_of_the_worked_example() {
        let at = UtcInstant::parse_rfc3339("2003-10-17T19:30:30Z").unwrap();
        let place = Place {
            latitude_rad: 39.742_476 * RAD_PER_DEG,
            longitude_rad: -105.1786 * RAD_PER_DEG,
        };
        let sun = sun(at, &place);
        let (azimuth, zenith) =
            (sun.azimuth_rad / RAD_PER_DEG, 90.0 - sun.elevation_rad / RAD_PER_DEG);
        assert!((azimuth - 194.340_24).abs() < 0.02, "{azimuth}");
        assert!((zenith - 50.111_62).abs() < 0.03, "{zenith}");
    }

    #[test]
    fn prop_noon_is_south_in_the_north_and_north_in_the_south() {
        let at = UtcInstant::parse_rfc3339("2026-06-21T12:02:00Z").unwrap();
        for (latitude_deg, azimuth_deg) in [(50.0, 180.0), (-35.0, 0.0)] {
            let place = Place { latitude_rad: latitude_deg * RAD_PER_DEG, longitude_rad: 0.0 };
            let sun = sun(at, &place);
            let off = base::math::wrap_pi(sun.azimuth_rad - azimuth_deg * RAD_PER_DEG);
            assert!(off.abs() < 1.0 * RAD_PER_DEG, "{sun:?}");
            assert!(sun.from_horizon_point_rad(sun.azimuth_rad) >= sun.elevation_rad - 1e-9);
        }
    }
}
