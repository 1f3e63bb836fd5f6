//! Turns about a point with the same bank all round: even through the air, they drift with the wind over the ground. What is to be
//! measured is worked out by hand.
//!
//! Through the air the circle has the radius `R = V^2 / (g tan(bank))`; while the airplane turns by an angle `t` (radians) the wind carries
//! it by `e R t`, with `e` the wind over the airspeed. Counted from the middle of the stretch that is looked at, `p` from `-h` to `h`, and
//! with `a` the angle from the wind to the radius there, the distance from a center nearby is, to the first order in `e`,
//!
//! `R + e R [ cos(a) (p cos p - A sin p) - sin(a) (p sin p - C cos p - D) ] - e R sin(a) D`
//!
//! where a center moved along and across the wind has taken away as much as it can: least squares ask that what is left over has no
//! part in `sin p`, `cos p` and 1, which gives `A`, `C` and `D` by elementary integrals. To the left `a` changes its sign.

use super::{AIRSPEED_MPS, Written, near, of, part};
use crate::faults;
use crate::faults::Seen;
use crate::measure::ground::measures;
use crate::trace::STEP_S;
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{atan, cos, hypot, sin, tan};
use maneuver::Direction;
use std::f64::consts::{FRAC_PI_2, TAU};

const BANK_DEG: f64 = 35.0;
const BEGUN_RAD: f64 = 0.4;
/// The stretch of a turn over the ground that counts, as shares of it (`round`).
const FROM: f64 = 0.2;
const TO: f64 = 0.85;
const BOTH: [Direction; 2] = [Direction::Left, Direction::Right];

fn radius_m() -> f64 {
    AIRSPEED_MPS * AIRSPEED_MPS / (STANDARD_GRAVITY_MPS2 * tan(BANK_DEG * RAD_PER_DEG))
}

/// A wind by its speed and the way it blows.
fn wind(speed_mps: f64, toward_rad: f64) -> [f64; 2] {
    [speed_mps * cos(toward_rad), speed_mps * sin(toward_rad)]
}

/// Full turns in the wind at one bank.
fn uncorrected(way: Direction, wind_mps: [f64; 2], turns: f64) -> Written {
    let (sign, radius) = (way.sign(), radius_m());
    let mut written = Written { wind_mps, ..Written::default() };
    let steps = (turns * TAU * radius / AIRSPEED_MPS / STEP_S) as usize;
    for i in 0..=steps {
        let time_s = STEP_S * i as f64;
        let heading = BEGUN_RAD + sign * AIRSPEED_MPS * time_s / radius;
        let out = heading - sign * FRAC_PI_2;
        let place =
            [radius * cos(out) + wind_mps[0] * time_s, radius * sin(out) + wind_mps[1] * time_s];
        written.add(place, heading, sign * BANK_DEG, 1000.0);
    }
    written
}

/// What is left of the radius: mean, greatest and root mean square, as multiples of `e R`.
struct Left {
    mean: f64,
    greatest: f64,
    rms: f64,
}

/// The formula of the head of this file; `along` is `cos(a)`, `across` `sin(a)` with its sign.
fn by_hand(h: f64, along: f64, across: f64) -> Left {
    let (sin_2h, cos_2h) = (sin(2.0 * h), cos(2.0 * h));
    // Integrals from -h to h of: p sin p cos p; sin^2; cos^2; cos; 1; p sin p.
    let p_sin_cos = 0.5 * (0.5 * sin_2h - h * cos_2h);
    let (sin_sin, cos_cos) = (h - 0.5 * sin_2h, h + 0.5 * sin_2h);
    let (cos_one, one, p_sin) = (2.0 * sin(h), 2.0 * h, 2.0 * (sin(h) - h * cos(h)));
    let a = p_sin_cos / sin_sin;
    let determinant = cos_cos * one - cos_one * cos_one;
    let c = (p_sin_cos * one - p_sin * cos_one) / determinant;
    let d = (cos_cos * p_sin - cos_one * p_sin_cos) / determinant;
    let off = |p: f64| along * (p * cos(p) - a * sin(p)) - across * (p * sin(p) - c * cos(p) - d);
    const CUTS: usize = 2000;
    let all: Vec<f64> =
        (0..CUTS).map(|k| off(h * (2.0 * (k as f64 + 0.5) / CUTS as f64 - 1.0))).collect();
    Left {
        mean: -across * d,
        greatest: all.iter().fold(0.0, |most, off| off.abs().max(most)),
        rms: (all.iter().map(|off| off * off).sum::<f64>() / CUTS as f64).sqrt(),
    }
}

#[test]
fn val_a_circle_that_drifts_is_measured_as_worked_out() {
    const WIND_MPS: f64 = 1.0;
    let share = WIND_MPS / AIRSPEED_MPS;
    for (way, turns) in BOTH.into_iter().flat_map(|way| [(way, 1.0), (way, 2.0)]) {
        let h = 0.5 * (TO - FROM) * turns * TAU;
        // Of the second order in the wind, and the ends of the stretch on a step of the grid.
        let within = 0.5 * (share * h).powi(2) + share * h * STEP_S * AIRSPEED_MPS / radius_m();
        for eighth in 0..8 {
            let toward = TAU * f64::from(eighth) / 8.0;
            let trace = uncorrected(way, wind(WIND_MPS, toward), turns).trace();
            let one = part(&trace, "turns-around-a-point", 360.0, way);
            let measures = measures(&one, None);
            let middle = BEGUN_RAD + way.sign() * (0.5 * (FROM + TO) * turns * TAU - FRAC_PI_2);
            let angle = middle - toward;
            let left = by_hand(h, cos(angle), way.sign() * sin(angle));
            let what = |of: &str| format!("{of}, {way:?}, {turns} turns, eighth {eighth}");
            let radius = of(&measures, "radius_mean_m").value / radius_m();
            near(radius, 1.0 + share * left.mean, within, &what("radius"));
            let percent = 100.0 * share / (1.0 + share * left.mean);
            let greatest = of(&measures, "radius_error_greatest_percent").value;
            near(greatest, percent * left.greatest, 100.0 * within, &what("greatest"));
            let rms = of(&measures, "radius_error_rms_percent").value;
            near(rms, percent * left.rms, 100.0 * within, &what("rms"));
        }
    }
}

/// The bank that keeps the circle told is `atan(G^2 / (g R cos(drift)))`, the one flown is the same all round: by the wind triangle the
/// difference is known at every heading.
#[test]
fn val_an_even_bank_in_the_wind_is_over_that_of_the_circle_as_worked_out() {
    for (way, toward) in BOTH.into_iter().flat_map(|way| [(way, 0.3), (way, 2.0), (way, 4.4)]) {
        const WIND_MPS: f64 = 8.0;
        let trace = uncorrected(way, wind(WIND_MPS, toward), 1.0).trace();
        let one = part(&trace, "turns-around-a-point", 360.0, way);
        let measures = measures(&one, None);
        let radius = of(&measures, "radius_mean_m").value;
        let over = |share: f64| {
            let ahead = WIND_MPS * cos(BEGUN_RAD + way.sign() * share * TAU - toward);
            let square =
                AIRSPEED_MPS * AIRSPEED_MPS + WIND_MPS * WIND_MPS + 2.0 * AIRSPEED_MPS * ahead;
            let cos_drift = (AIRSPEED_MPS + ahead) / square.sqrt();
            let needed = atan(square / (STANDARD_GRAVITY_MPS2 * radius * cos_drift));
            BANK_DEG - needed / RAD_PER_DEG
        };
        let places = (0..=1000).map(|k| FROM + (TO - FROM) * f64::from(k) / 1000.0);
        let most = places.map(over).fold(f64::MIN, f64::max);
        let told = of(&measures, "bank_over_that_of_the_circle_greatest_deg").value;
        near(told, most, 0.3, &format!("{way:?}, wind toward {toward}"));
        assert!(most > 2.0, "the wind shows: {most}");
    }
}

/// However strong the wind: no center beside the one that was found has the track nearer to its circle.
#[test]
fn prop_the_circle_told_is_the_nearest() {
    for (way, turns) in BOTH.into_iter().flat_map(|way| [(way, 1.0), (way, 2.0)]) {
        for toward in [0.0, 1.0, 2.5, 4.0] {
            let written = uncorrected(way, wind(8.0, toward), turns);
            let trace = written.trace();
            let one = part(&trace, "turns-around-a-point", 360.0, way);
            let measures = measures(&one, None);
            let told = of(&measures, "radius_error_rms_percent").value / 100.0
                * of(&measures, "radius_mean_m").value;
            let places = one.between(FROM, TO);
            let rms = |center: [f64; 2]| {
                let away: Vec<f64> = places
                    .iter()
                    .map(|&i| hypot(written.north_m[i] - center[0], written.east_m[i] - center[1]))
                    .collect();
                let mean = away.iter().sum::<f64>() / away.len() as f64;
                let square = away.iter().map(|r| (r - mean) * (r - mean)).sum::<f64>();
                (square / away.len() as f64).sqrt()
            };
            // A search of its own, ever finer.
            let middle = |values: &[f64]| {
                places.iter().map(|&i| values[i]).sum::<f64>() / places.len() as f64
            };
            let mut best = [middle(&written.north_m), middle(&written.east_m)];
            let mut step = 200.0;
            while step > 0.05 {
                let beside = [[step, 0.0], [-step, 0.0], [0.0, step], [0.0, -step]];
                let better = beside.into_iter().map(|d| [best[0] + d[0], best[1] + d[1]]);
                let nearest = better.min_by(|a, b| rms(*a).total_cmp(&rms(*b))).expect("four");
                if rms(nearest) < rms(best) {
                    best = nearest;
                } else {
                    step *= 0.5;
                }
            }
            near(told, rms(best), 0.01 * rms(best), &format!("{way:?}, {turns}, {toward}"));
        }
    }
}

/// One turn carries the circle by the wind times the time that it takes, `2 pi e R`; a circle that is kept stays.
#[test]
fn val_drift_and_missing_correction_are_named_and_an_even_circle_is_not() {
    const WIND_MPS: f64 = 8.0;
    const GROUND: [&str; 3] = ["radius-varies", "drifts-downwind", "wind-correction-missing"];
    let named = |written: &Written, way| {
        let trace = written.trace();
        let one = part(&trace, "turns-around-a-point", 360.0, way);
        let measures = measures(&one, None);
        let seen = Seen { part: &one, other: None, measures: &measures, ground_ft: None };
        let found = faults::find(&seen).into_iter().filter(|found| GROUND.contains(&found.id));
        found.map(|found| (found.id, found.evidence)).collect::<Vec<_>>()
    };
    for way in BOTH {
        let found = named(&uncorrected(way, wind(WIND_MPS, 1.0), 2.3), way);
        for fault in GROUND {
            assert!(found.iter().any(|(id, _)| *id == fault), "{way:?}: {fault}: {found:?}");
        }
        let away_m = TAU * WIND_MPS / AIRSPEED_MPS * radius_m();
        let (_, evidence) = found.iter().find(|(id, _)| *id == "drifts-downwind").expect("named");
        let told: f64 = evidence.split(' ').next().and_then(|m| m.parse().ok()).expect("meters");
        // Where a heading is reached is rounded to a step of the flight.
        near(told, away_m, STEP_S * (AIRSPEED_MPS + WIND_MPS), evidence);
        assert!(named(&super::about_a_point(way, 400.0), way).is_empty());
    }
}
