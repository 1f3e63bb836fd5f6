//! Rotations and attitudes: textbook tables, closed forms, a spinning body in an official trajectory.

use std::f64::consts::PI;

use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Body, Ecef, Ned, Rot, Vec3};
use base::geodesy::Geodetic;
use base::math::{asin, atan, cos, hypot, sin, tan, wrap_pi};
use base::numerics::ode::{self, Control};
use checks::{Table, assert_near};
use proptest::prelude::{ProptestConfig, proptest};

/// State of the published test case: SL-2003 (B. L. Stevens, F. L. Lewis), table 3.5-2.
const TEXTBOOK: Attitude = Attitude { heading_rad: -1.0, pitch_rad: 1.0, bank_rad: -1.0 };

/// Velocity of the same case: 500 ft/s, incidence 0.5 rad, sideslip -0.2 rad; north, east and climb as printed there.
#[test]
fn val_textbook_velocity_over_the_ground() {
    let (speed, alpha, beta) = (500.0, 0.5, -0.2);
    let air = Vec3::<Body>::new(cos(alpha) * cos(beta), sin(beta), sin(alpha) * cos(beta)) * speed;
    let ground = TEXTBOOK.body_from_ned().inverse().apply(air);
    assert_near("north, ft/s", ground.north(), 342.443_9, 5e-5);
    assert_near("east, ft/s", ground.east(), -266.770_7, 5e-5);
    assert_near("climb, ft/s", -ground.down(), 248.124_1, 5e-5);
}

/// The small turn of the body axes in `h` seconds at these rates, to the square of the angle.
fn small_turn(rates: [f64; 3], h: f64) -> Rot<Body, Body> {
    let [p, q, r] = rates.map(|rate| rate * h);
    let square = |a: f64, b: f64| 1.0 - 0.5 * (a * a + b * b);
    Rot::from_rows_unchecked([
        [square(q, r), r + 0.5 * p * q, -q + 0.5 * p * r],
        [-r + 0.5 * p * q, square(p, r), p + 0.5 * q * r],
        [q + 0.5 * p * r, -p + 0.5 * q * r, square(p, q)],
    ])
}

/// Rates of the angles of the same case at body rates 0.7, -0.8, 0.9 rad/s, as printed, by a central difference.
#[test]
fn val_textbook_rates_of_the_angles() {
    let h = 1e-4;
    let turned = |h: f64| {
        let turn = small_turn([0.7, -0.8, 0.9], h);
        Attitude::from_rotation(&TEXTBOOK.body_from_ned().then(&turn))
    };
    let (after, before) = (turned(h), turned(-h));
    let rate = |after: f64, before: f64| (after - before) / (2.0 * h);
    assert_near("bank", rate(after.bank_rad, before.bank_rad), 2.505_734, 1e-6);
    assert_near("pitch", rate(after.pitch_rad, before.pitch_rad), 0.325_082, 1e-6);
    assert_near("heading", rate(after.heading_rad, before.heading_rad), 2.145_926, 1e-6);
}

/// checks/f16/xdot_check.csv: the same figures from the check file.
#[test]
fn val_textbook_table_in_the_check_file() {
    let Some(table) = Table::read("f16/xdot_check.csv") else { return };
    let of = |state: &str, column: &str| {
        table.rows().find(|row| row.text("state") == state).expect("a row").number(column)
    };
    let (alpha, beta) = (of("alpha", "value"), of("beta", "value"));
    let attitude = Attitude {
        heading_rad: of("psi", "value"),
        pitch_rad: of("theta", "value"),
        bank_rad: of("phi", "value"),
    };
    let air = Vec3::<Body>::new(cos(alpha) * cos(beta), sin(beta), sin(alpha) * cos(beta));
    let ground = attitude.body_from_ned().inverse().apply(air * of("VT", "value"));
    assert_near("north", ground.north(), of("north", "published_xdot"), 5e-5);
    assert_near("east", ground.east(), of("east", "published_xdot"), 5e-5);
    assert_near("climb", -ground.down(), of("alt", "published_xdot"), 5e-5);
}

/// Axes that do not turn, equal to the earth's at the start.
enum Inertial {}

/// Turn rate of the earth, rad/s; inertias of the tumbling brick, slug ft2. NESC (NASA/TM-2015-218675) vol. II, tables 73 and 6.
const EARTH_RATE: f64 = 7.292_115e-5;
const INERTIA: [f64; 3] = [0.001_894_220, 0.006_211_019, 0.007_194_665];

/// Free tumbling from 10, 20, 30 deg/s at nil angles over 0 N 0 E: body axes in inertial ones (three rows) and rates.
fn tumble(t_end: f64) -> ode::Solution<12> {
    let derivative = |_: f64, x: &[f64; 12]| {
        let rates = Vec3::<Body>::new(x[9], x[10], x[11]);
        let mut out = [0.0; 12];
        // A vector at rest, written in the turning body, moves by minus rates cross itself: one column at a time.
        for column in 0..3 {
            let fixed = Vec3::<Body>::new(x[column], x[3 + column], x[6 + column]);
            let moved = fixed.cross(rates);
            (out[column], out[3 + column], out[6 + column]) = (moved.x, moved.y, moved.z);
        }
        let [a, b, c] = INERTIA;
        out[9] = (b - c) / a * x[10] * x[11];
        out[10] = (c - a) / b * x[11] * x[9];
        out[11] = (a - b) / c * x[9] * x[10];
        out
    };
    let mut start = [0.0; 12];
    // Nil angles at 0 N 0 E: forward is north (z), right is east (y), down is -x.
    (start[2], start[4], start[6]) = (1.0, 1.0, -1.0);
    for (i, rate_deg) in [10.0, 20.0, 30.0].into_iter().enumerate() {
        start[9 + i] = rate_deg * RAD_PER_DEG;
    }
    let fine = Control {
        relative: 1e-12,
        absolute: 1e-12,
        step_first: 1e-3,
        step_max: 0.05,
        steps_max: 100_000,
    };
    ode::integrate(derivative, (0.0, t_end), start, &fine, &[])
}

fn attitude_over(solution: &ode::Solution<12>, t: f64, place: Geodetic) -> Attitude {
    let x = solution.state(t);
    let body = Rot::<Inertial, Body>::from_rows_unchecked([
        [x[0], x[1], x[2]],
        [x[3], x[4], x[5]],
        [x[6], x[7], x[8]],
    ]);
    let (s, c) = (sin(EARTH_RATE * t), cos(EARTH_RATE * t));
    let inertial =
        Rot::<Ecef, Inertial>::from_rows_unchecked([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]);
    Attitude::from_rotation(&place.ned_from_ecef().inverse().then(&inertial).then(&body))
}

fn assert_angles(found: &Attitude, roll: f64, pitch: f64, yaw: f64, tolerance_deg: f64) {
    assert_near("roll", found.bank_rad / RAD_PER_DEG, roll, tolerance_deg);
    assert_near("pitch", found.pitch_rad / RAD_PER_DEG, pitch, tolerance_deg);
    let around = wrap_pi(found.heading_rad - yaw * RAD_PER_DEG) / RAD_PER_DEG;
    assert_near("yaw", around, 0.0, tolerance_deg);
}

/// NESC, case 2, simulation 5 after 30 s: angles and rates as printed. It falls straight down but for the turning
/// earth, whose few thousandths of a degree of longitude do not show in four decimals of a degree.
#[test]
fn val_a_tumbling_brick_after_thirty_seconds() {
    let solution = tumble(30.0);
    let found = attitude_over(&solution, 30.0, Geodetic::from_deg(0.0, 0.0, 0.0));
    assert_angles(&found, -56.151_3, -3.819_6, -4.289_3, 1e-4);
    for (i, expected) in [12.618_4, -17.397_4, 31.119_6].into_iter().enumerate() {
        assert_near("rate", solution.state_end[9 + i] / RAD_PER_DEG, expected, 1e-4);
    }
}

/// The whole of the same case (simulation 4, ten times a second), to 1e-5 degrees as the folder of checks asks.
#[test]
fn val_a_tumbling_brick_all_the_way() {
    let Some(table) = Table::read("nesc/trajectories/atmos_02_sim_04_10hz.csv") else { return };
    let solution = tumble(30.001);
    for row in table.rows() {
        let n = |name: &str| row.number(name);
        let place = Geodetic::from_deg(n("latitude_deg"), n("longitude_deg"), 0.0);
        let found = attitude_over(&solution, n("time"), place);
        let roll = n("eulerAngle_deg_Roll");
        assert_angles(&found, roll, n("eulerAngle_deg_Pitch"), n("eulerAngle_deg_Yaw"), 1e-5);
    }
}

/// Right angles, where a sign error shows: what forward, right and down of the body are in the world.
#[test]
fn val_right_angles() {
    let quarter = 90.0 * RAD_PER_DEG;
    let axes = |heading_rad, pitch_rad, bank_rad| {
        let turn = Attitude { heading_rad, pitch_rad, bank_rad }.body_from_ned().inverse();
        [
            turn.apply(Vec3::<Body>::new(1.0, 0.0, 0.0)),
            turn.apply(Vec3::<Body>::new(0.0, 1.0, 0.0)),
            turn.apply(Vec3::<Body>::new(0.0, 0.0, 1.0)),
        ]
    };
    let near = |what: &str, found: Vec3<Ned>, x: f64, y: f64, z: f64| {
        assert_near(what, (found - Vec3::new(x, y, z)).norm(), 0.0, 1e-15);
    };
    let east = axes(quarter, 0.0, 0.0);
    near("nose east", east[0], 0.0, 1.0, 0.0);
    near("right wing south", east[1], -1.0, 0.0, 0.0);
    let up = axes(0.0, quarter, 0.0);
    near("nose at the sky", up[0], 0.0, 0.0, -1.0);
    near("belly north", up[2], 1.0, 0.0, 0.0);
    let knife = axes(0.0, 0.0, quarter);
    near("right wing at the ground", knife[1], 0.0, 0.0, 1.0);
    near("belly west", knife[2], 0.0, -1.0, 0.0);
}

/// At the zenith and nadir heading and bank are one angle: bank is told as nil and the rotation is kept.
#[test]
fn val_straight_up_and_straight_down() {
    for sign in [1.0, -1.0] {
        let start =
            Attitude { heading_rad: 0.7, pitch_rad: sign * 90.0 * RAD_PER_DEG, bank_rad: 0.4 };
        let found = Attitude::from_rotation(&start.body_from_ned());
        assert_near("pitch", found.pitch_rad, start.pitch_rad, 1e-15);
        assert_near("bank", found.bank_rad, 0.0, 0.0);
        assert_near("heading", found.heading_rad, 0.7 - sign * 0.4, 1e-15);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn prop_angles_to_rotation_and_back(
        heading_rad in -PI..PI, pitch_rad in -1.57_f64..1.57, bank_rad in -PI..PI,
    ) {
        let start = Attitude { heading_rad, pitch_rad, bank_rad };
        let back = Attitude::from_rotation(&start.body_from_ned());
        // The angles lose what the cosine of the pitch loses.
        let tolerance = 4e-16 / (cos(pitch_rad) * cos(pitch_rad));
        assert_near("heading", back.heading_rad, heading_rad, 1e-14 + tolerance);
        assert_near("pitch", back.pitch_rad, pitch_rad, 1e-14 + tolerance);
        assert_near("bank", back.bank_rad, bank_rad, 1e-14 + tolerance);
    }

    /// Leonhard Euler's chain: heading about down, then pitch about right, then bank about forward.
    #[test]
    fn prop_three_single_turns_make_the_attitude(
        heading_rad in -3.0_f64..3.0, pitch_rad in -1.5_f64..1.5, bank_rad in -3.0_f64..3.0,
        x in -1.0_f64..1.0, y in -1.0_f64..1.0, z in -1.0_f64..1.0,
    ) {
        let (sh, ch, sp, cp) = (sin(heading_rad), cos(heading_rad), sin(pitch_rad), cos(pitch_rad));
        let (sb, cb) = (sin(bank_rad), cos(bank_rad));
        let about_down = Rot::<Ned, Ned>::from_rows_unchecked([[ch, sh, 0.0], [-sh, ch, 0.0], [0.0, 0.0, 1.0]]);
        let about_right = Rot::<Ned, Ned>::from_rows_unchecked([[cp, 0.0, -sp], [0.0, 1.0, 0.0], [sp, 0.0, cp]]);
        let about_forward = Rot::<Ned, Body>::from_rows_unchecked([[1.0, 0.0, 0.0], [0.0, cb, sb], [0.0, -sb, cb]]);
        let chain = about_down.then(&about_right).then(&about_forward);
        let whole = Attitude { heading_rad, pitch_rad, bank_rad }.body_from_ned();
        let vector = Vec3::<Ned>::new(x, y, z);
        assert_near("difference", (chain.apply(vector) - whole.apply(vector)).norm(), 0.0, 1e-15);
        let product = whole.apply(Vec3::new(1.0, 0.0, 0.0)).cross(whole.apply(Vec3::new(0.0, 1.0, 0.0)));
        let third = whole.apply(Vec3::new(0.0, 0.0, 1.0));
        assert_near("right-handed", (product - third).norm(), 0.0, 1e-15);
    }

    /// SL-2003, section 3.6: without sideslip `sin(climb) = cos(a) sin(pitch) - sin(a) cos(bank) cos(pitch)`, and
    /// nothing of the velocity points sideways.
    #[test]
    fn prop_attitude_from_the_path_obeys_the_climb_constraint(
        course_rad in -3.0_f64..3.0, climb_rad in -1.2_f64..1.2, lift_bank_rad in -1.5_f64..1.5,
        incidence_rad in -0.2_f64..0.35,
    ) {
        let found = Attitude::from_path(course_rad, climb_rad, lift_bank_rad, incidence_rad);
        let constraint = cos(incidence_rad) * sin(found.pitch_rad)
            - sin(incidence_rad) * cos(found.bank_rad) * cos(found.pitch_rad);
        assert_near("climb", constraint, sin(climb_rad), 1e-14);
        let velocity = Vec3::<Ned>::new(
            cos(climb_rad) * cos(course_rad), cos(climb_rad) * sin(course_rad), -sin(climb_rad));
        let air = found.body_from_ned().apply(velocity);
        assert_near("sideways", air.right(), 0.0, 1e-14);
        assert_near("incidence", base::math::atan2(air.down(), air.forward()), incidence_rad, 1e-14);
        // Bank of the body from that of the lift: spherical triangle of path, nose and zenith.
        let level = Attitude::from_path(course_rad, 0.0, lift_bank_rad, incidence_rad);
        assert_near("pitch in level flight", level.pitch_rad, asin(sin(incidence_rad) * cos(lift_bank_rad)), 1e-14);
        assert_near("bank in level flight", level.bank_rad, atan(tan(lift_bank_rad) / cos(incidence_rad)), 1e-13);
    }

    #[test]
    fn prop_unit_vectors_have_unit_length(x in -1e6_f64..1e6, y in -1e6_f64..1e6, z in -1e6_f64..1e6) {
        let vector = Vec3::<Body>::new(x, y, z);
        assert_near("length", vector.norm(), hypot(hypot(x, y), z), 1e-9);
        let unit = vector.unit();
        assert!(unit.is_some() == (vector.norm() > 0.0));
        assert_near("unit", unit.map_or(1.0, Vec3::norm), 1.0, 1e-15);
        assert!(Vec3::<Body>::ZERO.unit().is_none());
    }
}
