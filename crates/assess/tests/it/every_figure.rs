//! Every figure of the catalogue, as its own reference flight flies it, is found between stretches of straight flight and named. The
//! reference flights are invented: they show that each figure can be found at all, not how well.

#![allow(clippy::disallowed_methods, reason = "tests may use platform mathematics")]

use crate::commercial;
use assess::attempt::{Attempt, way};
use assess::debrief::{DebriefContext, debrief};
use base::factors::RAD_PER_DEG;
use base::kinds::{GeometricHeight, TrueHeading};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use flight::trajectory::FlightSample;
use flight::wind::Wind;
use maneuver::definition::Maneuver;
use maneuver::{Direction, Entry, catalog};
use motion::{Column, Motion};
use recording::{QuantityKind, Recording, Series};

const STEP_S: f64 = 0.25;
const LEAD_S: f64 = 150.0;
const TRAIL_S: f64 = 40.0;

/// Samples on an even grid, with straight flight before and after.
fn laid_out(samples: &[FlightSample]) -> Vec<FlightSample> {
    let (first, last) = (samples[0], samples[samples.len() - 1]);
    let mut out = Vec::new();
    let straight = |from: &FlightSample, dt: f64| FlightSample {
        time_s: from.time_s + dt,
        north_m: from.north_m + dt * from.true_airspeed_mps * from.course_rad.cos(),
        east_m: from.east_m + dt * from.true_airspeed_mps * from.course_rad.sin(),
        bank_rad: 0.0,
        climb_rad: 0.0,
        load_factor: 1.0,
        ..*from
    };
    let n = |seconds: f64| (seconds / STEP_S) as usize;
    out.extend((0..n(LEAD_S)).rev().map(|i| straight(&first, -(i as f64 + 1.0) * STEP_S)));
    let mut next_s = first.time_s;
    for sample in samples {
        if sample.time_s >= next_s - 1e-9 {
            out.push(*sample);
            next_s = sample.time_s + STEP_S - 1e-6;
        }
    }
    out.extend((1..n(TRAIL_S)).map(|i| straight(&last, i as f64 * STEP_S)));
    out
}

fn motion(samples: &[FlightSample], wind: Wind) -> Motion {
    let start_s = samples[0].time_s;
    let column = |sigma: f64, of: &dyn Fn(&FlightSample) -> f64| {
        Some(Column { value: samples.iter().map(of).collect(), sigma: vec![sigma; samples.len()] })
    };
    let unwrapped =
        base::math::unwrap_angles(&samples.iter().map(|s| s.heading_rad).collect::<Vec<_>>());
    let (north, east) = (wind.velocity().north(), wind.velocity().east());
    Motion {
        time_s: samples.iter().map(|s| s.time_s - start_s).collect(),
        north_m: column(2.0, &|s| s.north_m),
        east_m: column(2.0, &|s| s.east_m),
        height_m: column(2.0, &|s| s.height_m),
        heading_rad: Some(Column {
            sigma: vec![0.5 * RAD_PER_DEG; unwrapped.len()],
            value: unwrapped,
        }),
        path_angle_rad: column(0.5 * RAD_PER_DEG, &|s| s.climb_rad),
        bank_rad: column(1.0 * RAD_PER_DEG, &|s| s.bank_rad),
        pitch_rad: column(1.0 * RAD_PER_DEG, &|s| s.pitch_rad),
        load_factor: column(0.03, &|s| s.load_factor),
        true_airspeed_mps: column(1.0, &|s| s.true_airspeed_mps),
        calibrated_airspeed_mps: column(1.0, &|s| s.calibrated_airspeed_mps),
        wind_north_mps: column(0.5, &|_| north),
        wind_east_mps: column(0.5, &|_| east),
        airborne: vec![true; samples.len()],
        ..Motion::default()
    }
}

/// A recording that shows the attitude.
fn recording(samples: &[FlightSample]) -> Recording {
    let start_s = samples[0].time_s;
    let series = |quantity, of: &dyn Fn(&FlightSample) -> f64| Series {
        quantity,
        origin: "made".into(),
        times_s: samples.iter().map(|s| s.time_s - start_s).collect(),
        values: samples.iter().map(of).collect(),
    };
    Recording {
        series: vec![
            series(QuantityKind::BankDeg, &|s| base::math::wrap_pi(s.bank_rad) / RAD_PER_DEG),
            series(QuantityKind::PitchDeg, &|s| s.pitch_rad / RAD_PER_DEG),
            series(QuantityKind::TrueHeadingDeg, &|s| {
                (s.heading_rad / RAD_PER_DEG).rem_euclid(360.0)
            }),
        ],
        ..Recording::empty("csv", "made")
    }
}

fn found(
    maneuver: &dyn Maneuver,
    airplane: &Airplane,
    (direction, wind): (Direction, Wind),
) -> Option<Vec<Attempt>> {
    let day = Day { wind, ..Day::standard() };
    let entry = Entry {
        form: maneuver.forms()[0],
        direction,
        mass: airplane.masses.typical,
        height: GeometricHeight::from_ft(4500.0),
        heading: TrueHeading::from_deg(40.0),
        speed: None,
    };
    let flight = match maneuver.fly(airplane, &day, &entry) {
        Ok(flight) => flight,
        Err(why) => {
            println!("{}: not flown by {}: {why}", maneuver.id(), airplane.name);
            return None;
        }
    };
    let samples = laid_out(&flight.samples);
    let standard = commercial();
    let context =
        DebriefContext { airplane: Some(airplane), standard: &standard, ground_elevation_m: None };
    Some(debrief(recording(&samples), motion(&samples, wind), &context).attempts)
}

/// Figures whose reference flight is not found.
const MISSED: &[&str] = &[];

#[test]
fn prop_every_figure_sought_is_found_as_its_reference_flies_it() {
    let airplanes = ["plover-160", "sandpiper-550"].map(|id| bundled::load(id).expect("bundled"));
    let wind = Wind {
        from: base::kinds::Track::from_deg(300.0),
        speed: base::units::Speed::from_kt(14.0),
    };
    let mut missed = Vec::new();
    for maneuver in catalog::sought() {
        let flown = airplanes
            .iter()
            .find_map(|airplane| found(maneuver, airplane, (Direction::Left, wind)));
        let Some(attempts) = flown else {
            missed.push(format!("{} is not flown", maneuver.id()));
            continue;
        };
        for one in &attempts {
            println!(
                "{}: {} {} {:.0} to {:.0} s, {:.2}, {:?}",
                maneuver.id(),
                one.maneuver,
                way(one.direction),
                one.start_s,
                one.end_s,
                one.confidence,
                one.evidence
            );
        }
        let right = attempts.len() == 1 && attempts[0].maneuver == maneuver.id();
        if !right {
            missed.push(maneuver.id().to_string());
        }
    }
    assert_eq!(missed, MISSED, "not found, or not alone");
}
