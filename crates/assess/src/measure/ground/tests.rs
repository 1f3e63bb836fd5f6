//! Tracks over the ground in closed form, in the wind: the pylon on the wing tip [DENKER, PYLON of the sources], the circle [TAP], a
//! rectangle. What is measured is what was written.

mod uneven;

use super::{legs, pylon, round};
use crate::attempt::{Estimate, Measure};
use crate::find::{FoundPart, Phases};
use crate::part::Part;
use crate::trace::{Line, STEP_S, Trace};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{asin, atan, atan2, cos, hypot, sin};
use maneuver::Direction;
use maneuver::definition::Progress;

const AIRSPEED_MPS: f64 = 50.0;
/// The wind blows toward the north-east.
const WIND_MPS: [f64; 2] = [6.0, 5.0];
const PLACE_SIGMA_M: f64 = 2.0;
const HEADING_SIGMA_DEG: f64 = 0.5;

/// A motion as it is written down, a step of the trace apart.
struct Written {
    north_m: Vec<f64>,
    east_m: Vec<f64>,
    heading_rad: Vec<f64>,
    bank_deg: Vec<f64>,
    height_ft: Vec<f64>,
    wind_mps: [f64; 2],
}

impl Default for Written {
    fn default() -> Self {
        let [north_m, east_m, heading_rad, bank_deg, height_ft] = [const { Vec::new() }; 5];
        Self { north_m, east_m, heading_rad, bank_deg, height_ft, wind_mps: WIND_MPS }
    }
}

impl Written {
    fn add(&mut self, [north, east]: [f64; 2], heading_rad: f64, bank_deg: f64, height_ft: f64) {
        self.north_m.push(north);
        self.east_m.push(east);
        self.heading_rad.push(heading_rad);
        self.bank_deg.push(bank_deg);
        self.height_ft.push(height_ft);
    }
    fn trace(&self) -> Trace {
        let n = self.north_m.len();
        let line = |value: Vec<f64>, sigma: f64| Line { value, sigma: vec![sigma; n] };
        let headings = base::math::unwrap_angles(&self.heading_rad);
        let headings = headings.iter().map(|rad| rad / RAD_PER_DEG).collect();
        let speed = || line(vec![AIRSPEED_MPS / MPS_PER_KT; n], 1.0);
        Trace {
            time_s: (0..n).map(|i| STEP_S * i as f64).collect(),
            north_m: Some(line(self.north_m.clone(), PLACE_SIGMA_M)),
            east_m: Some(line(self.east_m.clone(), PLACE_SIGMA_M)),
            heading_deg: line(headings, HEADING_SIGMA_DEG),
            bank_deg: line(self.bank_deg.clone(), 1.0),
            height_ft: line(self.height_ft.clone(), 10.0),
            cas_kt: speed(),
            tas_kt: Some(speed()),
            wind_mps: Some(self.wind_mps.map(|wind| vec![wind; n])),
            usable: vec![true; n],
            ..Trace::default()
        }
    }
}

fn part<'a>(trace: &'a Trace, maneuver: &'static str, turn_deg: f64, way: Direction) -> Part<'a> {
    let end = trace.len() - 1;
    let found = FoundPart {
        direction: Some(way),
        progress: Progress::Turn,
        start: 0,
        end,
        level: end,
        phases: Phases::default(),
    };
    Part::new(trace, &found, (maneuver, turn_deg), true, None)
}

fn of(measures: &[Measure], key: &str) -> Estimate {
    let found = measures.iter().find(|measure| measure.key == key);
    found.and_then(|measure| measure.estimate).expect(key)
}

fn near(value: f64, wanted: f64, within: f64, what: &str) {
    assert!((value - wanted).abs() <= within, "{what}: {value} instead of {wanted}");
}

/// Motion over the ground of the airplane at a heading.
fn over_ground(heading_rad: f64) -> [f64; 2] {
    let [wind_n, wind_e] = WIND_MPS;
    [AIRSPEED_MPS * cos(heading_rad) + wind_n, AIRSPEED_MPS * sin(heading_rad) + wind_e]
}

const PYLON_M: [f64; 2] = [800.0, -300.0];
const GROUND_FT: f64 = 700.0;
const NEAREST_M: f64 = 420.0;
/// Speed over the ground is read along a chord of two seconds, which is shorter than the way by `(rate of turn * 1 s)^2 / 6`: a third of a
/// percent of 950 ft at 0.138 rad/s.
const CHORD_FT: f64 = 3.2;

/// Half of an eight about a pylon, level speed: the nose stays square to the pylon, so the heading turns as the bearing does and the
/// distance grows with the wind along the sight: `dr/dt = -w . e`, `dpsi/dt = (V + w . nose) / r`. In closed form `r (V + w . nose)` is
/// the same all round: a conic with the pylon in its focus.
fn about_a_pylon(way: Direction, above_ft: impl Fn(f64) -> f64) -> Written {
    let sign = way.sign();
    let mut written = Written::default();
    let downwind_rad = atan2(WIND_MPS[1], WIND_MPS[0]);
    let wind = hypot(WIND_MPS[0], WIND_MPS[1]);
    let ahead = |heading: f64| AIRSPEED_MPS + wind * cos(heading - downwind_rad);
    let kept = NEAREST_M * (AIRSPEED_MPS + wind);
    let mut heading = 0.4;
    let begun = heading;
    while sign * (heading - begun) < 240.0 * RAD_PER_DEG {
        let away = kept / ahead(heading);
        // The pylon is off the inner wing tip.
        let sight = heading + sign * std::f64::consts::FRAC_PI_2;
        let place = [PYLON_M[0] - away * cos(sight), PYLON_M[1] - away * sin(sight)];
        let pivotal_ft = AIRSPEED_MPS * ahead(heading) / STANDARD_GRAVITY_MPS2 / M_PER_FT;
        let bank_deg = sign * atan(pivotal_ft * M_PER_FT / away) / RAD_PER_DEG;
        written.add(place, heading, bank_deg, GROUND_FT + pivotal_ft + above_ft(heading - begun));
        // Midpoint rule: the rate of turn is that of the sight.
        let rate = |heading: f64| sign * ahead(heading) * ahead(heading) / kept;
        heading += STEP_S * rate(heading + 0.5 * STEP_S * rate(heading));
    }
    written
}

#[test]
fn val_a_pylon_on_the_wing_tip_is_measured_as_written() {
    for way in [Direction::Left, Direction::Right] {
        let trace = about_a_pylon(way, |_| 0.0).trace();
        let part = part(&trace, "eights-on-pylons", 180.0, way);
        let measures = pylon::measures(&part, Some(GROUND_FT));
        assert!(of(&measures, "pylon_off_wing_greatest_deg").value < 0.05, "{way:?}");
        assert!(of(&measures, "pylon_off_wing_rms_deg").value < 0.05);
        // The distance: mean of the conic over the middle of the time.
        let places = part.between(crate::part::MIDDLE.0, crate::part::MIDDLE.1);
        let away = |&i: &usize| {
            let (north, east) = (trace.north_m.as_ref(), trace.east_m.as_ref());
            let at = |line: Option<&Line>| line.expect("written").value[i];
            hypot(at(north) - PYLON_M[0], at(east) - PYLON_M[1])
        };
        let mean = places.iter().map(away).sum::<f64>() / places.len() as f64;
        near(of(&measures, "pylon_distance_mean_m").value, mean, 0.1, "distance");
        assert!((NEAREST_M..NEAREST_M * 1.4).contains(&mean), "{mean}");
        // The height is the pivotal one of the wind, not the square of the speed over the ground.
        near(of(&measures, "pivotal_height_error_mean_ft").value, 0.0, CHORD_FT, "height");
        near(of(&measures, "pivotal_height_error_spread_ft").value, 0.0, CHORD_FT, "spread");
        near(
            pylon::pivotal_height_off(&part, GROUND_FT).expect("a height").value,
            0.0,
            4e-3,
            "off",
        );
        let sigma = of(&measures, "pivotal_height_error_mean_ft").sigma;
        assert!((5.0..60.0).contains(&sigma), "{sigma}");
    }
}

#[test]
fn val_a_height_off_the_pivotal_one_is_measured_as_written() {
    let way = Direction::Left;
    let higher = about_a_pylon(way, |_| 90.0).trace();
    let one = part(&higher, "eights-on-pylons", 180.0, way);
    let measures = pylon::measures(&one, Some(GROUND_FT));
    near(of(&measures, "pivotal_height_error_mean_ft").value, 90.0, CHORD_FT, "mean");
    near(of(&measures, "pivotal_height_error_spread_ft").value, 0.0, CHORD_FT, "spread");
    let wandering = about_a_pylon(way, |turned| 40.0 * sin(3.0 * turned)).trace();
    let one = part(&wandering, "eights-on-pylons", 180.0, way);
    let measures = pylon::measures(&one, Some(GROUND_FT));
    near(of(&measures, "pivotal_height_error_spread_ft").value, 80.0, CHORD_FT, "spread");
    // The elevation of the ground is needed for the mean, not for the spread.
    let unknown = pylon::measures(&one, None);
    assert!(
        unknown.iter().any(|m| m.key == "pivotal_height_error_mean_ft" && m.estimate.is_none())
    );
    near(of(&unknown, "pivotal_height_error_spread_ft").value, 80.0, CHORD_FT, "spread");
}

/// A pylon seen off the wing tip by an angle all round: the nose turned away by as much.
#[test]
fn val_a_pylon_off_the_wing_is_measured_as_written() {
    const OFF_DEG: f64 = 7.0;
    let way = Direction::Right;
    let mut written = about_a_pylon(way, |_| 0.0);
    let last = written.heading_rad.len() - 1;
    // Off in the middle alone: all round it would be another pylon.
    for (i, heading) in written.heading_rad.iter_mut().enumerate() {
        let share = i as f64 / last as f64;
        *heading += OFF_DEG * RAD_PER_DEG * sin(std::f64::consts::TAU * 2.0 * share);
    }
    let trace = written.trace();
    let measures = pylon::measures(&part(&trace, "eights-on-pylons", 180.0, way), Some(GROUND_FT));
    // The pylon that fits best takes some of it.
    near(of(&measures, "pylon_off_wing_greatest_deg").value, OFF_DEG, 1.5, "greatest");
    near(of(&measures, "pylon_off_wing_rms_deg").value, OFF_DEG * 0.5_f64.sqrt(), 1.0, "rms");
}

/// The heading that makes a track good in the wind, and the speed over the ground along it.
fn made_good(track_rad: f64) -> (f64, f64) {
    let [wind_n, wind_e] = WIND_MPS;
    let across = wind_e * cos(track_rad) - wind_n * sin(track_rad);
    let heading = track_rad - asin(across / AIRSPEED_MPS);
    let [north, east] = over_ground(heading);
    (heading, hypot(north, east))
}

const SIDES_M: [f64; 4] = [1500.0, 800.0, 1500.0, 800.0];
const CORNER_M: f64 = 350.0;

/// A rectangle over the ground in the wind, its corners quarter circles over the ground; each leg turned by `skew` degrees on the one
/// before more than a quarter, and the legs as long as told.
fn rectangle(way: Direction, sides_m: [f64; 4], skew_deg: f64, sway_m: f64) -> Written {
    let sign = way.sign();
    let mut written = Written::default();
    let mut at = [0.0, 0.0];
    let mut track = 0.7;
    for side_m in sides_m {
        let (heading, ground_mps) = made_good(track);
        let begun = at;
        let mut gone = 0.0;
        while gone < side_m {
            let sway = sway_m * sin(std::f64::consts::TAU * gone / side_m);
            let place = [
                begun[0] + gone * cos(track) - sway * sin(track),
                begun[1] + gone * sin(track) + sway * cos(track),
            ];
            written.add(place, heading, 0.0, 1000.0);
            gone += ground_mps * STEP_S;
        }
        at = [begun[0] + gone * cos(track), begun[1] + gone * sin(track)];
        // The corner about its own center.
        let out = track + sign * (90.0 + skew_deg) * RAD_PER_DEG;
        let aside = track + sign * std::f64::consts::FRAC_PI_2;
        let center = [at[0] + CORNER_M * cos(aside), at[1] + CORNER_M * sin(aside)];
        while sign * (out - track) > 0.0 {
            let (heading, ground_mps) = made_good(track);
            let bank_rad = atan(ground_mps * ground_mps / (STANDARD_GRAVITY_MPS2 * CORNER_M));
            let aside = track + sign * std::f64::consts::FRAC_PI_2;
            let place = [center[0] - CORNER_M * cos(aside), center[1] - CORNER_M * sin(aside)];
            written.add(place, heading, sign * bank_rad / RAD_PER_DEG, 1000.0);
            track += sign * ground_mps * STEP_S / CORNER_M;
        }
        track = out;
        let aside = track + sign * std::f64::consts::FRAC_PI_2;
        at = [center[0] - CORNER_M * cos(aside), center[1] - CORNER_M * sin(aside)];
    }
    written
}

fn legs_of(written: &Written, way: Direction) -> Vec<Measure> {
    let trace = written.trace();
    legs::measures(&part(&trace, "rectangular-course", 360.0, way))
}

#[test]
fn val_legs_of_a_rectangle_in_the_wind_are_measured_as_written() {
    for way in [Direction::Left, Direction::Right] {
        let measures = legs_of(&rectangle(way, SIDES_M, 0.0, 0.0), way);
        near(of(&measures, "leg_wander_greatest_m").value, 0.0, 0.5, "wander");
        near(of(&measures, "leg_angle_off_square_greatest_deg").value, 0.0, 0.3, "square");
        // A leg ends on a step of the grid, and where the bank has come on.
        near(of(&measures, "opposite_legs_apart_greatest_percent").value, 0.0, 4.0, "opposite");
    }
}

#[test]
fn val_legs_off_square_uneven_and_swaying_are_measured_as_written() {
    let way = Direction::Left;
    let skew = legs_of(&rectangle(way, SIDES_M, 6.0, 0.0), way);
    near(of(&skew, "leg_angle_off_square_greatest_deg").value, 6.0, 0.3, "square");
    let uneven = legs_of(&rectangle(way, [1800.0, 800.0, 1200.0, 800.0], 0.0, 0.0), way);
    // 600 m of 1500 in the mean, less a second at either end: bank is smoothed over that before it is told from a leg.
    let wanted = 100.0 * 600.0 / (1500.0 - 2.0 * AIRSPEED_MPS);
    near(of(&uneven, "opposite_legs_apart_greatest_percent").value, wanted, 1.0, "opposite");
    let swaying = legs_of(&rectangle(way, SIDES_M, 0.0, 30.0), way);
    // A sine of 30 m has 21 m root mean square.
    near(of(&swaying, "leg_wander_greatest_m").value, 30.0 * 0.5_f64.sqrt(), 2.5, "wander");
}

/// Two turns about a point in the wind at a radius: `tan(bank) = G^2 / (g R cos(drift))`, exact all round [TAP].
fn about_a_point(way: Direction, radius: f64) -> Written {
    let sign = way.sign();
    let mut written = Written::default();
    let (mut bearing, begun) = (0.2, 0.2);
    while sign * (bearing - begun) < 4.0 * std::f64::consts::PI {
        let track = bearing + sign * std::f64::consts::FRAC_PI_2;
        let (heading, ground_mps) = made_good(track);
        let across = ground_mps * ground_mps / (radius * cos(track - heading));
        let bank_deg = sign * atan(across / STANDARD_GRAVITY_MPS2) / RAD_PER_DEG;
        let place = [radius * cos(bearing), radius * sin(bearing)];
        written.add(place, heading, bank_deg, 1000.0);
        bearing += sign * ground_mps * STEP_S / radius;
    }
    written
}

#[test]
fn val_a_circle_about_a_point_in_the_wind_is_measured_as_written() {
    const RADIUS_M: f64 = 400.0;
    for way in [Direction::Left, Direction::Right] {
        let trace = about_a_point(way, RADIUS_M).trace();
        let one = part(&trace, "turns-around-a-point", 360.0, way);
        let measures = round::measures(&one);
        near(of(&measures, "radius_mean_m").value, RADIUS_M, 0.5, "radius");
        near(of(&measures, "radius_error_greatest_percent").value, 0.0, 0.2, "greatest");
        near(of(&measures, "radius_error_rms_percent").value, 0.0, 0.2, "rms");
        // The bank is that of the wind triangle all round, within the step over which the speed over the ground is read.
        let over = of(&measures, "bank_over_that_of_the_circle_greatest_deg").value;
        near(over, 0.0, 0.5, "bank");
        // Directly downwind it is steepest: 57.8 m/s over the ground at 400 m.
        let downwind = AIRSPEED_MPS + hypot(WIND_MPS[0], WIND_MPS[1]);
        let steepest = atan(downwind * downwind / (STANDARD_GRAVITY_MPS2 * RADIUS_M));
        let most = one.all().map(|i| one.bank(i).value).fold(f64::MIN, f64::max);
        near(most, steepest / RAD_PER_DEG, 0.1, "steepest");
    }
}
