//! The earth that is flown over: flat or round, at rest or turning, with the gravitation that goes with it.
//!
//! One set of equations of motion serves all of them (see [`crate::vehicle`]): position and velocity are written in axes
//! that turn with the earth ([`Fixed`]), and the earth answers three questions: how fast it turns, how it attracts, and
//! where up is. On a flat earth the axes are north, east and down at the origin, at mean sea level; on a round one they
//! are earth-centred.

use base::frames::{Ecef, Fixed, Ned, Rot, Vec3};
use base::geodesy::{FLATTENING, Geodetic, SEMI_MAJOR_AXIS_M};

/// Form of the surface that heights are counted from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A level plane.
    Flat,
    /// An ellipsoid of rotation; a sphere when the flattening is nil.
    Round {
        /// Radius at the equator, m.
        radius_m: f64,
        /// Flattening, nil to 0.01.
        flattening: f64,
    },
}

/// How the earth attracts (without the centrifugal part, which belongs to the turning axes).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gravitation {
    /// The same everywhere, downwards; for a flat earth.
    Uniform {
        /// Acceleration, m/s2.
        mps2: f64,
    },
    /// A point mass.
    Central {
        /// Gravitational parameter, m3/s2.
        mu_m3ps2: f64,
    },
    /// A point mass and the second zonal harmonic.
    Oblate {
        /// Gravitational parameter, m3/s2.
        mu_m3ps2: f64,
        /// Second zonal harmonic.
        j2: f64,
        /// Radius that the harmonic refers to, m.
        radius_m: f64,
    },
}

/// An earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Earth {
    /// Where height is nil.
    pub shape: Shape,
    /// How it attracts.
    pub gravitation: Gravitation,
    /// Angular speed about its axis (z of a round earth), rad/s; nil for one at rest.
    pub turn_radps: f64,
}

/// What the airplane must know of where it is.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// Height above the flat, the sphere or the ellipsoid, m.
    pub height_m: f64,
    /// From axes turning with the earth to north, east, down here.
    pub ned_from_fixed: Rot<Fixed, Ned>,
}

impl Earth {
    /// Flat, at rest, standard gravity.
    pub const FLAT: Self = Self {
        shape: Shape::Flat,
        gravitation: Gravitation::Uniform { mps2: base::factors::STANDARD_GRAVITY_MPS2 },
        turn_radps: 0.0,
    };
    /// The WGS-84 ellipsoid, turning, with J2. Source: WGS-84; J2 as the check cases have it (NESC, Table 73).
    pub const WGS84: Self = Self {
        shape: Shape::Round { radius_m: SEMI_MAJOR_AXIS_M, flattening: FLATTENING },
        gravitation: Gravitation::Oblate {
            mu_m3ps2: 3.986_004_418e14,
            j2: 0.001_082_629_82,
            radius_m: SEMI_MAJOR_AXIS_M,
        },
        turn_radps: 7.292_115e-5,
    };
    /// A sphere at rest with a point mass: for check cases. Source: NESC, Table 73.
    pub const SPHERE_AT_REST: Self = Self {
        shape: Shape::Round { radius_m: 6_371_007.180_9, flattening: 0.0 },
        gravitation: Gravitation::Central { mu_m3ps2: 3.986_004_418e14 },
        turn_radps: 0.0,
    };
    /// The same sphere, turning. Source: NESC, Table 73.
    pub const SPHERE_TURNING: Self = Self { turn_radps: 7.292_115e-5, ..Self::SPHERE_AT_REST };

    /// The turn of the earth, expressed in its own axes, rad/s.
    #[must_use]
    #[inline]
    pub const fn turn(&self) -> Vec3<Fixed> {
        Vec3::new(0.0, 0.0, self.turn_radps)
    }

    /// Attraction at a position, m/s2.
    #[must_use]
    #[inline]
    pub fn gravitation(&self, position_m: Vec3<Fixed>) -> Vec3<Fixed> {
        let square = position_m.dot(position_m);
        match self.gravitation {
            Gravitation::Uniform { mps2 } => Vec3::new(0.0, 0.0, mps2),
            Gravitation::Central { mu_m3ps2 } => {
                position_m * (-mu_m3ps2 / (square * square.sqrt()))
            }
            Gravitation::Oblate { mu_m3ps2, j2, radius_m } => {
                let per_square = 1.0 / square;
                let share = 1.5 * j2 * radius_m * radius_m * per_square;
                let polar = 5.0 * position_m.z * position_m.z * per_square;
                let pull = -mu_m3ps2 * per_square / square.sqrt();
                let across = pull * (1.0 - share * (polar - 1.0));
                let along = pull * (1.0 - share * (polar - 3.0));
                Vec3::new(across * position_m.x, across * position_m.y, along * position_m.z)
            }
        }
    }

    /// Height and local level at a position. No trigonometry: sines and cosines come from the coordinates themselves.
    ///
    /// # Accuracy
    /// One round of Bowring's rule: the rounding of the coordinates in height, 1e-13 rad in latitude up to 10 km and 1e-11 up
    /// to 80 km (tested against [`base::geodesy`]).
    #[must_use]
    #[inline]
    pub fn place(&self, position_m: Vec3<Fixed>) -> Place {
        let Shape::Round { radius_m, flattening } = self.shape else {
            let rows = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
            let ned_from_fixed = Rot::from_rows_unchecked(rows); // on a flat earth the two frames are one
            return Place { height_m: -position_m.z, ned_from_fixed };
        };
        let Vec3 { x, y, z, .. } = position_m;
        let from_axis = (x * x + y * y).sqrt();
        let per_axis = 1.0 / from_axis;
        let (sin_lon, cos_lon) =
            if from_axis > 0.0 { (y * per_axis, x * per_axis) } else { (0.0, 1.0) };
        let (squares, ellipsoid) = ((z * z, x * x + y * y), (radius_m, flattening));
        let (up, out) = stretches(squares, ellipsoid);
        let height_m = height(squares, (up, out), ellipsoid);
        let (along, away) = (z * up, from_axis * out);
        let per_length = 1.0 / (along * along + away * away).sqrt();
        let (sin_lat, cos_lat) = (along * per_length, away * per_length);
        let ned_from_fixed = Rot::from_rows_unchecked([
            [-sin_lat * cos_lon, -sin_lat * sin_lon, cos_lat],
            [-sin_lon, cos_lon, 0.0],
            [-cos_lat * cos_lon, -cos_lat * sin_lon, -sin_lat],
        ]);
        Place { height_m, ned_from_fixed }
    }

    /// Height alone: that of [`Self::place`], bit for bit.
    #[must_use]
    #[inline]
    pub fn height_m(&self, position_m: Vec3<Fixed>) -> f64 {
        let Shape::Round { radius_m, flattening } = self.shape else {
            return -position_m.z;
        };
        let Vec3 { x, y, z, .. } = position_m;
        let (squares, ellipsoid) = ((z * z, x * x + y * y), (radius_m, flattening));
        height(squares, stretches(squares, ellipsoid), ellipsoid)
    }

    /// How the local level turns, relative to the earth, under something that moves over it with this velocity, rad/s: north
    /// and east parts. Its part about the vertical, the convergence of the meridians, is left out: what flies straight
    /// keeps to a geodesic, and its heading drifts. Nil on a flat earth.
    #[must_use]
    pub fn turn_of_level(&self, place: &Place, velocity_mps: Vec3<Ned>) -> Vec3<Ned> {
        let Shape::Round { radius_m, flattening } = self.shape else {
            return Vec3::ZERO;
        };
        let eccentricity_squared = flattening * (2.0 - flattening);
        let sin_lat = -place.ned_from_fixed.rows()[2][2];
        let square = 1.0 - eccentricity_squared * sin_lat * sin_lat;
        let across_m = radius_m / square.sqrt(); // radius of curvature of the prime vertical
        let along_m = across_m * (1.0 - eccentricity_squared) / square; // and of the meridian
        Vec3::new(
            velocity_mps.y / (across_m + place.height_m),
            -velocity_mps.x / (along_m + place.height_m),
            0.0,
        )
    }

    /// Position of a geodetic place. On a flat earth north and east are counted from 0 N 0 E along arcs of the mean
    /// radius of the ellipsoid, good for pictures only.
    #[must_use]
    pub fn position(&self, place: Geodetic) -> Vec3<Fixed> {
        match self.shape {
            Shape::Flat => {
                let arc_m = SEMI_MAJOR_AXIS_M * (1.0 - FLATTENING / 3.0);
                Vec3::new(arc_m * place.latitude_rad, arc_m * place.longitude_rad, -place.height_m)
            }
            Shape::Round { radius_m, flattening } => {
                let Vec3 { x, y, z, .. }: Vec3<Ecef> = place.to_ecef_on(radius_m, flattening);
                Vec3::new(x, y, z)
            }
        }
    }

    /// The geodetic place of a position; the way back from [`Self::position`].
    #[must_use]
    pub fn geodetic(&self, position_m: Vec3<Fixed>) -> Geodetic {
        if self.shape == Shape::Flat {
            let arc_m = SEMI_MAJOR_AXIS_M * (1.0 - FLATTENING / 3.0);
            return Geodetic {
                latitude_rad: position_m.x / arc_m,
                longitude_rad: position_m.y / arc_m,
                height_m: -position_m.z,
            };
        }
        let place = self.place(position_m);
        let rows = place.ned_from_fixed.rows();
        Geodetic {
            latitude_rad: base::math::atan2(-rows[2][2], rows[0][2]),
            longitude_rad: base::math::atan2(-rows[1][0], rows[1][1]),
            height_m: place.height_m,
        }
    }
}

/// Stretches that make a vector along the local vertical of one from the axis and the equator's plane (`z` and away from the axis),
/// at squares of these distances, m2.
///
/// # Source
/// BOWRING-1976, with both legs of his tangent over the distances, so that no root of the square from the axis is waited for.
#[inline]
fn stretches(
    (from_plane_m2, from_axis_m2): (f64, f64),
    (radius_m, flattening): (f64, f64),
) -> (f64, f64) {
    let squash = 1.0 - flattening;
    let squash_square = squash * squash;
    let bulge_m = radius_m * (flattening * (2.0 - flattening));
    // The reduced latitude as a pair of legs, from the direction of the place itself: exact on the surface.
    let square = from_plane_m2 + from_axis_m2 * squash_square;
    let bend = square.sqrt() * (bulge_m / (square * square));
    let (up, out) = (from_plane_m2, from_axis_m2 * (squash_square * squash_square));
    (squash + bend * up, squash - bend * out)
}

/// Height, m, from the stretches: at the right latitude it does not change with it, so that an error there counts by its square.
/// Roots and quotients do not wait for each other.
#[inline]
fn height(
    (from_plane_m2, from_axis_m2): (f64, f64),
    (up, out): (f64, f64),
    (radius_m, flattening): (f64, f64),
) -> f64 {
    let squash = (1.0 - flattening) * (1.0 - flattening);
    let (along, away) = (from_plane_m2 * up, from_axis_m2 * out);
    let (along_square, away_square) = (along * up, away * out);
    let length_square = along_square + away_square;
    let per_length = length_square.sqrt() * (1.0 / length_square);
    let surface = (squash * along_square + away_square).sqrt();
    (along + away - radius_m * surface) * per_length
}

#[cfg(test)]
mod tests {
    use super::{Earth, Fixed, Ned, Vec3};
    use base::geodesy::Geodetic;

    #[test]
    fn val_place_agrees_with_the_iterated_geodesy() {
        for latitude in [-90.0, -89.9, -45.0, -0.01, 0.0, 12.3, 60.0, 89.999, 90.0] {
            for longitude in [-179.0, -90.0, 0.0, 33.0, 180.0] {
                for height in [-500.0, 0.0, 9_144.0, 80_000.0] {
                    let there = Geodetic::from_deg(latitude, longitude, height);
                    let position = Earth::WGS84.position(there);
                    let place = Earth::WGS84.place(position);
                    assert!(
                        (place.height_m - height).abs() < 3e-9,
                        "{latitude} {height} {}",
                        place.height_m - height
                    );
                    let down = place.ned_from_fixed.rows()[2];
                    assert!(
                        (-base::math::asin(down[2].clamp(-1.0, 1.0)) - there.latitude_rad).abs()
                            < 3e-8
                    );
                    let sine = -down[2] - base::math::sin(there.latitude_rad);
                    assert!(sine.abs() < if height > 10_000.0 { 1e-11 } else { 1e-13 });
                }
            }
        }
    }

    #[test]
    fn val_gravity_at_the_equator_and_the_pole() {
        // Normal gravity of WGS-84 is 9.7803253 and 9.8321849 m/s2 (NIMA TR8350.2, table 3.4). The level ellipsoid has a
        // fourth zonal harmonic of -2.37e-6 (same source, derived), which we leave out: 5 J4 P4 of the pull, added here.
        let pull = |latitude| {
            let earth = Earth::WGS84;
            let position = earth.position(Geodetic::from_deg(latitude, 0.0, 0.0));
            let turn = earth.turn();
            earth.gravitation(position) - turn.cross(turn.cross(position))
        };
        let fourth = |share: f64| 5.0 * 2.37e-6 * share * 9.8;
        assert!((pull(0.0).norm() + fourth(0.375) - 9.780_325_3).abs() < 3e-6);
        assert!((pull(90.0).norm() + fourth(1.0) - 9.832_184_9).abs() < 3e-6);
    }

    #[test]
    fn the_level_turns_as_the_places_say() {
        let earth = Earth::WGS84;
        let place = earth.position(Geodetic::from_deg(52.0, 13.0, 3000.0));
        let velocity = Vec3::<Ned>::new(70.0, -40.0, 0.0);
        let level = |position| earth.place(position).ned_from_fixed;
        let here = earth.place(place);
        let shift = here.ned_from_fixed.inverse().apply(velocity) * 0.5;
        let (before, after) = (level(place - shift), level(place + shift));
        // Over one second the down axis leans by the turn, seen from the level half-way (from an end, the turn about the
        // vertical would show at second order: 4e-11).
        let down_at = |level: base::frames::Rot<Fixed, Ned>| {
            here.ned_from_fixed.apply(level.inverse().apply(Vec3::new(0.0, 0.0, 1.0)))
        };
        let down = down_at(after) - down_at(before);
        let turn = earth.turn_of_level(&here, velocity);
        assert!((down.x - turn.y).abs() < 1e-11, "{down:?} {turn:?}");
        assert!((down.y + turn.x).abs() < 1e-11, "{down:?} {turn:?}");
        assert!(Earth::FLAT.turn_of_level(&here, velocity).norm() < 1e-300);
    }

    #[test]
    fn a_flat_earth_is_level() {
        let place = Earth::FLAT.place(Vec3::new(1e5, 2e5, -1234.0));
        assert!((place.height_m - 1234.0).abs() < 1e-12);
        assert!(
            (Earth::FLAT.gravitation(Vec3::ZERO).z - base::factors::STANDARD_GRAVITY_MPS2).abs()
                < 1e-12
        );
    }
}
