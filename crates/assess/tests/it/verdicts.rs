//! Verdicts against truth: the same judge is given the motion as it was flown, without error, and what it says there is held
//! against what it says of the recording. A wrong verdict is "met" for "not met" or the reverse; "cannot tell" is neither.
//!
//! * Near the tolerance: turns, chandelles and lazy eights of our own making whose bank, roll-out, height and speed are spread
//!   about the edges of the commercial standard.
//! * checks/flown: what was flown there, most of it far from the edges.

#![allow(clippy::disallowed_methods, reason = "tests may use platform mathematics")]

use assess::debrief::{Debrief, DebriefContext, debrief};
use base::factors::RAD_PER_DEG;
use flight::airplane::Airplane;
use maneuver::standard::{Standard, bundled};
use motion::{Column, Known, Motion, reconstruct};
use recording::{ReadOptions, Recording};

use crate::pilot::Flight;
use crate::tally::Tally;

fn judged(
    recording: Recording,
    motion: Motion,
    standard: &Standard,
    airplane: Option<&Airplane>,
) -> Debrief {
    debrief(recording, motion, &DebriefContext { airplane, standard, ground_elevation_m: None })
}

/// Figures spread about the edges of the standard.
fn near_the_edges(seed: u64) -> Flight {
    let mut flight = Flight::new(seed, 100.0, 0.9);
    flight.straight(40.0, 0.0);
    for k in 0..7 {
        let side = if flight.dice.share() < 0.5 { -1.0 } else { 1.0 };
        flight.set_speed(100.0);
        flight.pull = 0.25;
        flight.straight(35.0, if flight.height_ft() > 5500.0 { -3.0 } else { 0.0 });
        flight.straight(15.0, 0.0);
        if k % 2 == 0 {
            // Bank within 9 of 50 degrees, roll-out within 20, some 160 ft up or down, speed 14 kt up or down.
            let (bank, end) = (flight.dice.between(43.0, 57.0), flight.dice.between(-20.0, 20.0));
            let (path, speed) = (flight.dice.between(-2.2, 2.2), flight.dice.between(90.0, 114.0));
            flight.set_speed(speed * 1.1);
            flight.turn(side * (360.0 + end), 120.0, &|_, _| (bank, path));
        } else {
            let (bank, end) = (flight.dice.between(22.0, 38.0), flight.dice.between(-18.0, 18.0));
            let (path, low) = (flight.dice.between(6.0, 10.0), flight.dice.between(0.75, 1.25));
            for (way, end) in [(side, 0.0), (-side, end)] {
                flight.turn(way * (180.0 + end), 120.0, &|turned, t| {
                    let through = turned.clamp(0.0, 180.0) * RAD_PER_DEG;
                    let begin = (0.08 * bank).max((1.2 * t).min(0.25 * bank));
                    let least = if turned < 60.0 { begin } else { 0.25 * bank };
                    let path = path * (2.0 * through).sin() * if turned > 90.0 { low } else { 1.0 };
                    ((bank * through.sin()).max(least), path)
                });
            }
        }
    }
    flight.straight(30.0, 0.0);
    flight
}

fn invented(every_s: f64, seeds: std::ops::Range<u64>) -> Tally {
    let standard = bundled::load("faa-commercial").expect("bundled");
    let mut tally = Tally::default();
    for seed in seeds {
        let mut flight = near_the_edges(seed);
        let truth = judged(Recording::empty("csv", "truth"), flight.motion(), &standard, None);
        let recording = flight.recorded(every_s);
        let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
        tally.add(&truth, &judged(recording, motion, &standard, None));
    }
    tally
}

/// Never a wrong "met" or "not met" more often than 1 in 40; "cannot tell" under 15 % is asked of rows that the sensors can support
/// and of attempts as they come, not of attempts about the edges: that figure is printed.
#[test]
fn prop_verdicts_about_the_edges_are_hardly_ever_wrong() {
    for (every_s, what) in [(0.2, "edges, 5 Hz"), (1.0, "edges, 1 Hz")] {
        let tally = invented(every_s, 500..530);
        tally.print(what);
        let total = tally.total();
        assert!(total.all() > 400, "{total:?}");
        assert!(total.wrong_share() <= 1.0 / 40.0, "{what}: {total:?}");
    }
}

/// The truth of a flight of checks/flown as a motion.
fn flown_truth(flight: &str) -> Option<Motion> {
    let text = checks::text(&format!("flown/{flight}/truth.csv"))?;
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next()?.split(',').collect();
    let rows: Vec<Vec<f64>> = lines
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap_or(f64::NAN)).collect())
        .collect();
    let column = |name: &str| {
        let k = head.iter().position(|known| *known == name).expect("a column of truth.csv");
        rows.iter().map(|row| row[k]).collect::<Vec<f64>>()
    };
    let exact = |value: Vec<f64>| Some(Column { sigma: vec![1e-9; value.len()], value });
    let angle = |values: Vec<f64>| values.into_iter().map(|deg| deg * RAD_PER_DEG).collect();
    let unwrapped = |values: Vec<f64>| {
        let mut out: Vec<f64> = Vec::with_capacity(values.len());
        for value in values {
            let last = out.last().copied().unwrap_or(value);
            out.push(last + (value - last + 180.0).rem_euclid(360.0) - 180.0);
        }
        out
    };
    let (north, east, down) = (column("v_north_mps"), column("v_east_mps"), column("v_down_mps"));
    let (wind_n, wind_e) = (column("wind_n_mps"), column("wind_e_mps"));
    let path = (0..rows.len())
        .map(|i| (-down[i]).atan2((north[i] - wind_n[i]).hypot(east[i] - wind_e[i])))
        .collect();
    let along = |rate: &[f64]| {
        let times = column("t_s");
        let mut sum = vec![0.0; rate.len()];
        for i in 1..rate.len() {
            sum[i] = sum[i - 1] + 0.5 * (rate[i] + rate[i - 1]) * (times[i] - times[i - 1]);
        }
        sum
    };
    Some(Motion {
        time_s: column("t_s"),
        north_m: exact(along(&north)),
        east_m: exact(along(&east)),
        height_m: exact(column("height_m")),
        ground_speed_mps: exact((0..rows.len()).map(|i| north[i].hypot(east[i])).collect()),
        track_rad: exact(angle(unwrapped(
            (0..rows.len()).map(|i| east[i].atan2(north[i]) / RAD_PER_DEG).collect(),
        ))),
        climb_mps: exact(down.iter().map(|down| -down).collect()),
        heading_rad: exact(angle(unwrapped(column("heading_true_deg")))),
        path_angle_rad: exact(path),
        bank_rad: exact(angle(column("roll_deg"))),
        pitch_rad: exact(angle(column("pitch_deg"))),
        pitch_relative_rad: exact(angle(column("pitch_deg"))),
        load_factor: exact(column("nz_g")),
        lateral_load: exact(column("ny_g")),
        sideslip_rad: exact(angle(column("beta_deg"))),
        roll_rate_radps: exact(angle(column("p_dps"))),
        pitch_rate_radps: exact(angle(column("q_dps"))),
        calibrated_airspeed_mps: exact(column("cas_mps")),
        wind_north_mps: exact(wind_n),
        wind_east_mps: exact(wind_e),
        airborne: vec![true; rows.len()],
        ..Motion::default()
    })
}

/// checks/flown, f01 to f05: "cannot tell" under 15 % from satellites at 5 Hz, and never wrong more often than 1 in 40.
#[test]
fn val_verdicts_on_flown_flights() {
    let standard = bundled::load("faa-commercial").expect("bundled");
    for kind in ["gps_5hz", "gps_1hz", "avionics"] {
        let mut tally = Tally::default();
        for flight in ["f01", "f02", "f03", "f04", "f05"] {
            let (Some(truth), Some(bytes)) =
                (flown_truth(flight), checks::bytes(&format!("flown/{flight}/{kind}.csv")))
            else {
                return;
            };
            let truth = judged(Recording::empty("csv", "truth"), truth, &standard, None);
            let options = ReadOptions { name: kind.into(), ..ReadOptions::default() };
            let recording = recording::read(&bytes, &options).expect("reads");
            let motion = reconstruct(&recording, &Known::default()).expect("reconstructs");
            tally.add(&truth, &judged(recording, motion, &standard, None));
        }
        tally.print(kind);
        let total = tally.total();
        assert!(total.wrong_share() <= 1.0 / 40.0, "{kind}: {total:?}");
    }
}
