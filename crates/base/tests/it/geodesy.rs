//! WGS-84 against published figures and reference libraries.

use base::factors::M_PER_FT;
use base::frames::{Ecef, Ned, Vec3};
use base::geodesy::{FLATTENING, Geodetic, LocalLevel, SEMI_MAJOR_AXIS_M};
use base::math::{atan2, hypot, sin, wrap_pi};
use checks::{Table, assert_near};
use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use proptest::prelude::{ProptestConfig, proptest};

/// WGS-84 (NIMA TR8350.2), table 3.1 (axis, flattening) and table 3.3 (what follows from them).
#[test]
fn val_constants_of_the_ellipsoid() {
    assert_near("semi-major axis", SEMI_MAJOR_AXIS_M, 6_378_137.0, 0.0);
    assert_near("inverse flattening", 1.0 / FLATTENING, 298.257_223_563, 1e-12);
    let pole = Geodetic::from_deg(90.0, 0.0, 0.0).to_ecef();
    assert_near("semi-minor axis", pole.z, 6_356_752.314_2, 5e-5);
    // First eccentricity squared 6.69437999014e-3, read off two axes.
    let ratio = pole.z / SEMI_MAJOR_AXIS_M;
    assert_near("eccentricity squared", 1.0 - ratio * ratio, 6.694_379_990_14e-3, 5e-15);
}

/// Degrees, meters: position, earth-centred coordinates.
type EcefRow = ((f64, f64, f64), (f64, f64, f64));

/// PROJ 9.5.1 by pyproj 3.7.2: both poles' neighborhood, equator, date line, below the sea, southern hemisphere.
const ECEF_ROWS: &[EcefRow] = &[
    ((0.0, 0.0, 0.0), (6_378_137.0, 0.0, 0.0)),
    ((90.0, 0.0, 100.0), (0.0, 0.0, 6_356_852.314_245)),
    ((-90.0, 0.0, 0.0), (0.0, 0.0, -6_356_752.314_245)),
    ((0.0, 179.99, 1000.0), (-6_379_136.902_840, 1_113.369_435, 0.0)),
    ((45.0, -180.0, 500.0), (-4_517_944.432_240, 0.0, 4_487_701.962_257)),
    ((31.0, 35.5, -420.0), (4_454_539.829_258, 3_177_392.380_881, 3_265_677.200_662)),
    ((-33.9461, 151.1772, 6.0), (-4_640_433.899_209, 2_553_505.337_619, -3_541_491.783_488)),
    ((71.2854, -156.766, 13.0), (-1_886_164.278_770, -809_736.260_679, 6_018_586.383_773)),
];

fn assert_ecef(place: (f64, f64, f64), expected: (f64, f64, f64), tolerance_m: f64) {
    let found = Geodetic::from_deg(place.0, place.1, place.2).to_ecef();
    for (what, found, expected) in
        [("x", found.x, expected.0), ("y", found.y, expected.1), ("z", found.z, expected.2)]
    {
        assert_near(&format!("{what} of {place:?}"), found, expected, tolerance_m);
    }
    let back = Geodetic::from_ecef(Vec3::new(expected.0, expected.1, expected.2));
    // The printed coordinates are rounded: 1e-11 degrees are a micrometer.
    assert_near("latitude", back.latitude_deg(), place.0, tolerance_m * 1e-5);
    assert_near("height", back.height_m, place.2, 2.0 * tolerance_m);
    if place.0.abs() < 90.0 {
        let turned = wrap_pi(back.longitude_rad - place.1.to_radians());
        let east_m = turned * hypot(expected.0, expected.1);
        assert_near("longitude, m", east_m, 0.0, 2.0 * tolerance_m);
    }
}

#[test]
fn val_earth_centred_coordinates_of_a_reference_library() {
    for &(place, expected) in ECEF_ROWS {
        assert_ecef(place, expected, 1e-6);
    }
}

/// checks/geodesy/published_examples.csv (vendor documentation of a mapping toolbox, tolerance there 1e-5 m); typed in too.
#[test]
fn val_published_example() {
    assert_ecef(
        (42.0, -82.0, 200.0),
        (660_675.251_824_7, -4_700_948.683_16, 4_245_737.662_22),
        1e-5,
    );
    let Some(table) = Table::read("geodesy/published_examples.csv") else { return };
    let rows = table.rows().filter(|row| row.text("what") == "geodetic<->ECEF");
    let mut seen = 0;
    for row in rows {
        let place = (row.number("lat"), row.number("lon"), row.number("h"));
        assert_ecef(place, (row.number("X"), row.number("Y"), row.number("Z")), 1e-5);
        seen += 1;
    }
    assert!(seen > 0, "the check file has no such row any more");
}

fn assert_local(place: Geodetic, origin: Geodetic, expected: Vec3<Ned>, tolerance_m: f64) {
    let plane = LocalLevel::at(origin);
    let found = plane.to_local(place);
    assert_near("north", found.north(), expected.north(), tolerance_m);
    assert_near("east", found.east(), expected.east(), tolerance_m);
    assert_near("down", found.down(), expected.down(), tolerance_m);
    let back = plane.to_geodetic(expected).to_ecef() - place.to_ecef();
    assert_near("way back, m", back.norm(), 0.0, 3.0 * tolerance_m);
}

/// pymap3d 3.2.0: across the date line, beside both poles, and an ordinary practice area.
#[test]
fn val_local_level_of_a_reference_library() {
    let at = Geodetic::from_deg;
    for (place, origin, (north, east, down)) in [
        (at(0.0, 179.99, 1e3), at(0.0, -179.99, 1e3), (0.0, -2_226.738_836, 0.388_639)),
        (
            at(45.0, -180.0, 5e2),
            at(45.01, 179.98, 520.0),
            (-1_111.211_348, 1_577.060_083, 20.291_585),
        ),
        (at(90.0, 0.0, 1e2), at(89.95, -45.0, 3048.0), (5_584.785_521, 0.0, 2_950.436_823)),
        (at(-90.0, 0.0, 0.0), at(-89.9, 10.0, 0.0), (-11_169.392_171, 0.0, 9.747_136)),
        (
            at(39.8561, -104.6737, 1655.0),
            at(39.8, -104.7, 1600.0),
            (6_230.807_800, 2_251.148_743, -51.552_829),
        ),
    ] {
        assert_local(place, origin, Vec3::new(north, east, down), 1e-6);
    }
}

/// checks/oracle/geodesy.csv: pyproj 3.7.2, pymap3d 3.2.0, printed to a micrometer.
#[test]
fn val_every_row_of_the_reference_table() {
    let Some(table) = Table::read("oracle/geodesy.csv") else { return };
    assert!(table.len() >= 20);
    for row in table.rows() {
        let n = |name: &str| row.number(name);
        let place = (n("lat_deg"), n("lon_deg"), n("h_m"));
        assert_ecef(place, (n("X_m"), n("Y_m"), n("Z_m")), 1e-6);
        let origin = Geodetic::from_deg(n("ref_lat_deg"), n("ref_lon_deg"), n("ref_h_m"));
        let expected = Vec3::new(n("N_m"), n("E_m"), n("D_m"));
        assert_local(Geodetic::from_deg(place.0, place.1, place.2), origin, expected, 1e-6);
    }
}

/// Official trajectories (NESC: NASA/TM-2015-218675, cases 9 and 10, simulation 3): earth-centred feet against latitude, longitude
/// and height, printed in full; eastward along the equator, northward off it. (Simulation 5 carries latitudes to 6e-11
/// degrees only, simulation 1 heights to 6e-5 m, simulation 6 the geocentric latitude: their conversions, not ours.)
#[test]
fn val_positions_along_official_trajectories() {
    for case in ["09", "10"] {
        let file = format!("nesc/trajectories/atmos_{case}_sim_03_1hz.csv");
        let Some(table) = Table::read(&file) else { return };
        for row in table.rows() {
            let feet = |axis: &str| row.number(&format!("gePosition_ft_{axis}")) * M_PER_FT;
            let place = Geodetic::from_ecef(Vec3::new(feet("X"), feet("Y"), feet("Z")));
            assert_near("latitude", place.latitude_deg(), row.number("latitude_deg"), 1e-12);
            assert_near("longitude", place.longitude_deg(), row.number("longitude_deg"), 1e-12);
            let height_m = row.number("altitudeMsl_ft") * M_PER_FT;
            assert_near("height", place.height_m, height_m, 1e-7);
        }
    }
}

fn judge(from: (f64, f64), azimuth_deg: f64, distance_m: f64) -> (f64, f64) {
    Geodesic::wgs84().direct(from.0, from.1, azimuth_deg, distance_m)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Judge: geographiclib-rs (KARNEY-2013). The straight line falls short of the geodesic by
    /// `s^3 / 24 R^2`, with R between the least and the greatest radius of curvature of the ellipsoid; the azimuths of
    /// normal section and geodesic part by less than `e^2 / 6 (s / R)^2`.
    #[test]
    fn prop_local_distances_and_bearings_agree_with_the_judge(
        latitude_deg in -89.9_f64..89.9, longitude_deg in -180.0_f64..180.0,
        azimuth_deg in -180.0_f64..180.0, distance_m in 1.0_f64..20_000.0,
    ) {
        let (latitude_to, longitude_to) = judge((latitude_deg, longitude_deg), azimuth_deg, distance_m);
        let plane = LocalLevel::at(Geodetic::from_deg(latitude_deg, longitude_deg, 0.0));
        let local = plane.to_local(Geodetic::from_deg(latitude_to, longitude_to, 0.0));
        let shortfall = distance_m - local.norm();
        let cube = distance_m * distance_m * distance_m / 24.0;
        let (least_m, greatest_m) = (6_335_439.0_f64, 6_399_594.0_f64);
        assert!(shortfall > cube / (greatest_m * greatest_m) - 1e-8, "{shortfall}");
        assert!(shortfall < cube / (least_m * least_m) + 1e-8, "{shortfall}");
        let bearing = atan2(local.east(), local.north());
        let parted_m = wrap_pi(bearing - azimuth_deg.to_radians()) * distance_m;
        let limit_m = 0.0067 / 6.0 * cube * 24.0 / (least_m * least_m) + 1e-8;
        assert!(parted_m.abs() < limit_m, "{parted_m} of {limit_m}");
    }

    /// The way from the tangent plane to the ground, by the same judge: `s - R atan(s / R)`.
    #[test]
    fn prop_a_place_in_the_plane_is_as_far_as_the_judge_says(
        latitude_deg in -89.0_f64..89.0, longitude_deg in -180.0_f64..180.0,
        north_m in -10_000.0_f64..10_000.0, east_m in -10_000.0_f64..10_000.0,
    ) {
        let plane = LocalLevel::at(Geodetic::from_deg(latitude_deg, longitude_deg, 0.0));
        let place = plane.to_geodetic(Vec3::new(north_m, east_m, 0.0));
        let along_m = hypot(north_m, east_m);
        let found_m: f64 = Geodesic::wgs84().inverse(
            latitude_deg, longitude_deg, place.latitude_deg(), place.longitude_deg());
        let short_m = along_m * along_m * along_m / 3.0;
        assert!(along_m - found_m > short_m / 6.4e6_f64.powi(2) * 0.99 - 1e-8);
        assert!(along_m - found_m < short_m / 6.33e6_f64.powi(2) * 1.01 + 1e-8);
        // The plane leaves the ground by `s^2 / 2 R`.
        let above = place.height_m * 2.0 / (along_m * along_m).max(1.0);
        assert!(along_m < 10.0 || (1.0 / 6.4e6..1.0 / 6.335e6).contains(&above), "{above}");
    }

    /// There and back, from the deepest trench to the height of a satellite, to the rounding of the coordinates.
    #[test]
    fn prop_earth_centred_round_trip(
        latitude_deg in -90.0_f64..=90.0, longitude_deg in -180.0_f64..=180.0,
        height_m in -11_000.0_f64..20.2e6,
    ) {
        let start = Geodetic::from_deg(latitude_deg, longitude_deg, height_m);
        let position = start.to_ecef();
        let back = Geodetic::from_ecef(position);
        let rounding_m = 8.0 * f64::EPSILON * position.norm();
        assert!((back.to_ecef() - position).norm() < rounding_m);
        assert_near("height", back.height_m, height_m, rounding_m);
        let north_m = (back.latitude_rad - start.latitude_rad) * position.norm();
        assert_near("north", north_m, 0.0, rounding_m);
    }

    /// Axes are at right angles and of unit length: lengths survive, at the poles too.
    #[test]
    fn prop_lengths_survive_the_change_of_axes(
        latitude_deg in -90.0_f64..=90.0, longitude_deg in -180.0_f64..=180.0,
        x in -1e4_f64..1e4, y in -1e4_f64..1e4, z in -1e4_f64..1e4,
    ) {
        let turn = Geodetic::from_deg(latitude_deg, longitude_deg, 0.0).ned_from_ecef();
        let vector = Vec3::<Ecef>::new(x, y, z);
        assert_near("length", turn.apply(vector).norm(), vector.norm(), 1e-10);
        let back = turn.inverse().apply(turn.apply(vector)) - vector;
        assert_near("way back", back.norm(), 0.0, 1e-10);
        // Up is the normal of the ellipsoid: its third component is the sine of the latitude.
        let up = turn.inverse().apply(Vec3::<Ned>::new(0.0, 0.0, -1.0));
        assert_near("up", up.z, sin(latitude_deg.to_radians()), 1e-15);
    }
}
