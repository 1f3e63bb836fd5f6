//! Recordings of real flights, held against what was flown in them as fixed beforehand (`tests/adjudicated.toml`).

use crate::commercial;
use assess::attempt::{Attempt, way};
use assess::debrief::{DebriefContext, debrief};
use maneuver::Direction;
use motion::{Known, reconstruct};
use recording::ReadOptions;
use toml::{Table, Value};

/// Attempts of a recording; `None` when it is not here.
fn attempts(path: &str, row_interval_s: Option<f64>) -> Option<Vec<Attempt>> {
    let bytes = checks::recording(path)?;
    let options = ReadOptions { name: path.into(), row_interval_s, ..ReadOptions::default() };
    let recording = recording::read(&bytes, &options).unwrap_or_else(|why| panic!("{path}: {why}"));
    let motion =
        reconstruct(&recording, &Known::default()).unwrap_or_else(|why| panic!("{path}: {why}"));
    let standard = commercial();
    let context = DebriefContext { airplane: None, standard: &standard, ground_elevation_m: None };
    Some(debrief(recording, motion, &context).attempts)
}

fn list<'t>(flight: &'t Table, key: &str) -> &'t [Value] {
    flight.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn number(entry: &Value, key: &str) -> f64 {
    let value = entry.get(key).expect("the key is there");
    value.as_float().or(value.as_integer().map(|whole| whole as f64)).expect("a number")
}

/// Whether an attempt is one that an entry speaks of: most of it inside, one of its names, its way.
fn fits(entry: &Value, found: &Attempt) -> bool {
    let both = found.end_s.min(number(entry, "to_s")) - found.start_s.max(number(entry, "from_s"));
    let names = entry["names"].as_array().expect("names");
    let way_told = entry.get("direction").and_then(Value::as_str);
    both > 0.6 * (found.end_s - found.start_s)
        && names.iter().any(|name| name.as_str() == Some(found.maneuver))
        && way_told.is_none_or(|told| told == way(found.direction))
}

/// What is missed, false and doubtful.
#[derive(Debug, Default, PartialEq, Eq)]
struct Count {
    wanted: usize,
    found: usize,
    doubtful: usize,
    false_claims: usize,
}

fn count(flight: &Table, all: &mut Count) -> Option<()> {
    let path = flight["file"].as_str().expect("a file");
    let row_interval_s = flight.get("row_interval_s").and_then(Value::as_float);
    let attempts = attempts(path, row_interval_s)?;
    for entry in list(flight, "flown") {
        let wanted = entry["least"].as_integer().expect("least") as usize;
        let found = attempts.iter().filter(|found| fits(entry, found)).count().min(wanted);
        all.wanted += wanted;
        all.found += found;
        if found < wanted {
            println!("{path}: {found} of {wanted}: {entry:?}");
        }
    }
    for found in &attempts {
        let any = |key: &str| list(flight, key).iter().any(|entry| fits(entry, found));
        if any("flown") {
            continue;
        }
        let doubtful = any("doubtful");
        all.doubtful += usize::from(doubtful);
        all.false_claims += usize::from(!doubtful);
        println!(
            "{path}: {} {} {} {:.0} to {:.0} s, {:.2}: {:?}",
            if doubtful { "doubtful" } else { "false" },
            found.maneuver,
            way(found.direction),
            found.start_s,
            found.end_s,
            found.confidence,
            found.evidence
        );
    }
    Some(())
}

/// Missed are the gentle power-off stall and the slow flight of the flight review, which a telephone recorded. False, and wanted is none: a glider pilot pulls up and turns about,
/// another pulls up and pushes over. (Before lift was weighed against what the wing gave elsewhere, and circling in lift against turning on
/// power, six were.)
#[test]
fn val_real_flights_against_their_adjudication() {
    let text = include_str!("../adjudicated.toml");
    let table: Table = text.parse().expect("the adjudication is TOML");
    let flights = table["flight"].as_array().expect("flights");
    let mut all = Count::default();
    for flight in flights {
        if count(flight.as_table().expect("a table"), &mut all).is_none() {
            return;
        }
    }
    println!("real flights: {all:?}");
    assert_eq!((all.wanted, all.found, all.false_claims), (40, 38, 2));
}

/// The pilot's own description: left 360 about 1000 s after the first row, lasting 58 s, right 360 straight after. Both were
/// flown at 35 degrees of bank: shallow, but as a pair of full turns no ordinary flying.
#[test]
fn val_the_flight_review_has_its_two_steep_turns() {
    let Some(mut found) = attempts("csv/da20_flight_review_2018-10-15_part.csv", None) else {
        return;
    };
    found.retain(|attempt| attempt.maneuver == "steep-turn");
    let told: Vec<(&str, Direction)> =
        found.iter().map(|a| (a.maneuver, a.direction.expect("it turns"))).collect();
    assert_eq!(told, [("steep-turn", Direction::Left), ("steep-turn", Direction::Right)]);
    let left = &found[0];
    assert!((left.start_s - 1000.0).abs() < 4.0, "{}", left.start_s);
    assert!((left.end_s - left.start_s - 58.0).abs() < 4.0, "{}", left.end_s);
    assert!(found[1].start_s - left.end_s < 3.0);
    let turned = left.parts[0].turned_deg;
    assert!((turned.value - 360.0).abs() < 10.0, "{turned:?}");
}
