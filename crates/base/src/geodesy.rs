//! WGS-84: geodetic positions, earth-centred coordinates, a local level frame at a stated origin.
//!
//! Source: WGS-84 (NIMA TR8350.2: semi-major axis and flattening).

use crate::frames::{Ecef, Ned, Rot, Vec3};
use crate::math::{atan2, cos, hypot, sin};

/// Semi-major axis of the WGS-84 ellipsoid, m.
pub const SEMI_MAJOR_AXIS_M: f64 = 6_378_137.0;
/// Flattening of the WGS-84 ellipsoid.
pub const FLATTENING: f64 = 1.0 / 298.257_223_563;
const ECCENTRICITY_SQUARED: f64 = FLATTENING * (2.0 - FLATTENING);

/// Position on or near the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geodetic {
    /// Geodetic latitude, radians, north positive.
    pub latitude_rad: f64,
    /// Longitude, radians, east positive.
    pub longitude_rad: f64,
    /// Height above the ellipsoid, m.
    pub height_m: f64,
}

impl Geodetic {
    /// From degrees and meters above the ellipsoid.
    #[must_use]
    pub fn from_deg(latitude_deg: f64, longitude_deg: f64, height_m: f64) -> Self {
        let rad = crate::factors::RAD_PER_DEG;
        Self { latitude_rad: latitude_deg * rad, longitude_rad: longitude_deg * rad, height_m }
    }
    /// Latitude in degrees.
    #[must_use]
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_rad / crate::factors::RAD_PER_DEG
    }
    /// Longitude in degrees.
    #[must_use]
    pub fn longitude_deg(&self) -> f64 {
        self.longitude_rad / crate::factors::RAD_PER_DEG
    }
    /// Earth-centred coordinates, m.
    #[must_use]
    pub fn to_ecef(&self) -> Vec3<Ecef> {
        self.to_ecef_on(SEMI_MAJOR_AXIS_M, FLATTENING)
    }
    /// Earth-centred coordinates, m, when latitude and height are counted on another ellipsoid (or a sphere).
    #[must_use]
    pub fn to_ecef_on(&self, semi_major_axis_m: f64, flattening: f64) -> Vec3<Ecef> {
        let squared = flattening * (2.0 - flattening);
        let (sin_lat, cos_lat) = (sin(self.latitude_rad), cos(self.latitude_rad));
        let normal = semi_major_axis_m / (1.0 - squared * sin_lat * sin_lat).sqrt();
        let horizontal = (normal + self.height_m) * cos_lat;
        Vec3::new(
            horizontal * cos(self.longitude_rad),
            horizontal * sin(self.longitude_rad),
            (normal * (1.0 - squared) + self.height_m) * sin_lat,
        )
    }
    /// From earth-centred coordinates, m. Iterated to rounding; valid from the core's edge outwards.
    #[must_use]
    pub fn from_ecef(position: Vec3<Ecef>) -> Self {
        let distance_axis = hypot(position.x, position.y);
        let longitude_rad = atan2(position.y, position.x);
        let mut latitude_rad = atan2(position.z, distance_axis * (1.0 - ECCENTRICITY_SQUARED));
        let mut height_m = 0.0;
        for _ in 0..8 {
            let (sin_lat, cos_lat) = (sin(latitude_rad), cos(latitude_rad));
            let root = (1.0 - ECCENTRICITY_SQUARED * sin_lat * sin_lat).sqrt();
            let normal = SEMI_MAJOR_AXIS_M / root;
            // Well conditioned at the pole and at the equator alike.
            height_m = distance_axis * cos_lat + position.z * sin_lat - SEMI_MAJOR_AXIS_M * root;
            latitude_rad = atan2(
                position.z * (normal + height_m),
                distance_axis * (normal * (1.0 - ECCENTRICITY_SQUARED) + height_m),
            );
        }
        Self { latitude_rad, longitude_rad, height_m }
    }
    /// Rotation from earth-fixed axes to north, east, down here.
    #[must_use]
    pub fn ned_from_ecef(&self) -> Rot<Ecef, Ned> {
        let (sin_lat, cos_lat) = (sin(self.latitude_rad), cos(self.latitude_rad));
        let (sin_lon, cos_lon) = (sin(self.longitude_rad), cos(self.longitude_rad));
        Rot::from_rows_unchecked([
            [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
            [-sin_lon, cos_lon, 0.0],
            [-cos_lat * cos_lon, -cos_lat * sin_lon, -sin_lat],
        ])
    }
}

/// A local level plane at an origin: straight axes, so distances along them stay true near the origin.
#[derive(Debug, Clone, Copy)]
pub struct LocalLevel {
    origin: Geodetic,
    origin_ecef: Vec3<Ecef>,
    ned_from_ecef: Rot<Ecef, Ned>,
}

impl LocalLevel {
    /// At this origin.
    #[must_use]
    pub fn at(origin: Geodetic) -> Self {
        Self { origin, origin_ecef: origin.to_ecef(), ned_from_ecef: origin.ned_from_ecef() }
    }
    /// Where it stands.
    #[must_use]
    pub const fn origin(&self) -> Geodetic {
        self.origin
    }
    /// Position relative to the origin, expressed in north, east, down of the origin, m.
    #[must_use]
    pub fn to_local(&self, position: Geodetic) -> Vec3<Ned> {
        self.ned_from_ecef.apply(position.to_ecef() - self.origin_ecef)
    }
    /// The geodetic position of a local one.
    #[must_use]
    pub fn to_geodetic(&self, local: Vec3<Ned>) -> Geodetic {
        Geodetic::from_ecef(self.origin_ecef + self.ned_from_ecef.inverse().apply(local))
    }
}
