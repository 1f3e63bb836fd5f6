//! Re-flights held against themselves (the null edit) and against twins: the same flight, airplane, wind and hand with the one
//! deviation removed, flown in a foreign flight model (checks/flown, twins.json).

#![allow(clippy::print_stdout, reason = "achieved figures are printed")]

use super::*;
use crate::find::{FoundPart, Phases};
use crate::refly::flown::Doubt;
use crate::refly::fly::fly;
use crate::trace::Trace;
use maneuver::Direction;
use serde_json::Value;

fn figure_of(name: &str) -> Option<(&'static str, f64)> {
    Some(match name {
        "steep turn" => ("steep-turn", 360.0),
        "chandelle" => ("chandelle", 180.0),
        "lazy eight" => ("lazy-eight", 180.0),
        "wing-over series" => ("wing-over", 180.0),
        "standard-rate turn" => ("standard-rate-turn", 90.0),
        "S-turns across a road" => ("s-turns", 180.0),
        "slow flight" => ("slow-flight", 0.0),
        "turns around a point" => ("turns-around-a-point", 360.0),
        _ => return None,
    })
}

fn mend_of(deviation: &str) -> Option<Mend> {
    Some(match deviation {
        "rolled out early" | "rolled out late" | "stopped at 150" => Mend::RollOut,
        "bank too steep" | "bank too shallow" => Mend::BankHeld,
        "hurried roll" => Mend::RollRate,
        "pitch too high too early" => Mend::PitchPaced,
        "near stall" => Mend::PitchPeak,
        "nose low at the end" => Mend::NoseHeld,
        "lost height" | "gained height" => Mend::HeightHeld,
        "power changed" => Mend::PowerHeld,
        "uncoordinated" => Mend::Coordination,
        _ => return None,
    })
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or(f64::NAN)
}

fn trace(flight: &str, kind: &str) -> Option<Trace> {
    let bytes = checks::bytes(&format!("flown/{flight}/{kind}.csv"))?;
    let options = recording::ReadOptions { name: kind.into(), ..recording::ReadOptions::default() };
    let recording = recording::read(&bytes, &options).expect("reads");
    let motion = motion::reconstruct(&recording, &motion::Known::default()).expect("a motion");
    Some(Trace::new(&motion).expect("a trace"))
}

fn json(path: &str) -> Option<Value> {
    Some(serde_json::from_str(&checks::text(path)?).expect("JSON"))
}

/// Parts of an attempt by the times of the truth, in the trace.
fn parts<'a>(trace: &'a Trace, attempt: &Value, (key, span): (&'static str, f64)) -> Vec<Part<'a>> {
    let first = if attempt["direction"] == "left" { Direction::Left } else { Direction::Right };
    let whole = std::slice::from_ref(attempt);
    let halves = attempt["parts"].as_array().map_or(whole, Vec::as_slice);
    let place = |time_s: f64| {
        trace.time_s.partition_point(|t| *t < time_s - 0.125).min(trace.time_s.len() - 1)
    };
    let mut out = Vec::new();
    for (index, half) in halves.iter().enumerate() {
        let direction = if index % 2 == 0 { first } else { first.opposite() };
        let (start, end) = (place(number(half, "start_s")), place(number(half, "end_s")));
        let found = FoundPart {
            direction: Some(direction),
            progress: maneuver::definition::Progress::Turn,
            start,
            end,
            level: end,
            phases: Phases::default(),
        };
        let mut part = Part::new(trace, &found, (key, span), true, None);
        part.form = match key {
            "chandelle" => "shallow",
            _ => "",
        };
        out.push(part);
    }
    out
}

/// Errors of the outcome, and how often the band held the twin.
#[derive(Default)]
struct Tally {
    n: f64,
    squares: [f64; 3],
    inside: [f64; 3],
}

impl Tally {
    fn rms(&self) -> [f64; 3] {
        self.squares.map(|square| (square / self.n).sqrt())
    }
}

fn twins(kind: &str) -> Option<Tally> {
    let mut tally = Tally::default();
    let airplanes = json("flown/airplanes.json")?;
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        let trace = trace(flight, kind)?;
        let attempts = json(&format!("flown/{flight}/attempts.json"))?;
        let twins = json(&format!("flown/{flight}/twins.json"))?;
        for twin in twins["attempts"].as_array().expect("a list") {
            let id = twin["id"].as_str().expect("an id");
            let deviation = twin["twin_of"].as_str().expect("a deviation");
            let attempts = attempts["attempts"].as_array().expect("a list");
            let attempt = attempts.iter().find(|a| a["id"] == id).expect("the attempt");
            let figure = figure_of(twin["maneuver"].as_str().expect("a name"));
            let (Some(figure), Some(mend)) = (figure, mend_of(deviation)) else {
                println!("{id} {deviation}: not a turn, or nothing to mend");
                continue;
            };
            let figure = (figure.0, twin["target_turn_deg"].as_f64().unwrap_or(figure.1));
            let parts = parts(&trace, attempt, figure);
            let halves = twin["parts"].as_array().map_or(std::slice::from_ref(twin), Vec::as_slice);
            let flown_halves =
                attempt["parts"].as_array().map_or(std::slice::from_ref(attempt), Vec::as_slice);
            let intent = Intent {
                bank_deg: twin["target_bank_deg"].as_f64().filter(|_| figure.0 != "wing-over"),
                ground_m: None,
            };
            let other = parts.get(1);
            let mut polar = Polar::of(&parts[0]);
            let airplane = &airplanes[twins["airplane"].as_str().expect("an airplane")];
            let wing_pa = number(airplane, "mass_as_flown_kg")
                * base::factors::STANDARD_GRAVITY_MPS2
                / number(airplane, "wing_area_m2");
            polar.lift_most_per_pa = Some(number(airplane, "cl_max_power_off") / wing_pa);
            let Some(refly) = refly_by(&parts[0], other, mend, (intent, polar)) else {
                println!("{id} {deviation}: no re-flight");
                continue;
            };
            compare(&mut tally, id, &refly, (&flown_halves[0], &halves[0]), deviation);
        }
    }
    let rms = tally.rms();
    let inside = tally.inside.map(|inside| inside / tally.n);
    println!(
        "{kind}: {} twins; rms heading {:.1} deg, height {:.0} ft, speed {:.1} kt; inside the band {:.2} {:.2} {:.2}",
        tally.n, rms[0], rms[1], rms[2], inside[0], inside[1], inside[2]
    );
    Some(tally)
}

fn compare(
    tally: &mut Tally,
    id: &str,
    refly: &Refly,
    (flown, twin): (&Value, &Value),
    deviation: &str,
) {
    let end = |value: &Value| {
        let end = &value["end_state"];
        [0.0, number(end, "height_change_ft"), number(end, "cas_kt")]
    };
    let (of_flown, of_twin) = (end(flown), end(twin));
    let figures = &refly.figures;
    // Turned end to start as told, either way round.
    let wrap = |angle: f64| (angle + 180.0).rem_euclid(360.0) - 180.0;
    // Slow flight does not turn.
    let twin_turned = twin["turned_deg"].as_f64().unwrap_or(0.0);
    let wanted = (twin_turned / 90.0).round() * 90.0;
    let mended =
        [figures[0].mended.value + wanted, figures[1].mended.value, figures[2].mended.value];
    let error = [wrap(mended[0] - twin_turned), mended[1] - of_twin[1], mended[2] - of_twin[2]];
    println!(
        "{id} {deviation:24} heading {:6.1} twin {:6.1} flown {:6.1} | height {:5.0} twin {:5.0} flown {:5.0} | CAS {:5.1} twin {:5.1} flown {:5.1} | {:4.1} s twin {:4.1} | err {:5.1} {:5.0} {:5.1} (sigma {:.1} {:.0} {:.1})",
        mended[0],
        twin_turned,
        number(flown, "turned_deg"),
        mended[1],
        of_twin[1],
        of_flown[1],
        mended[2],
        of_twin[2],
        of_flown[2],
        figures[5].mended.value,
        number(twin, "duration_s"),
        error[0],
        error[1],
        error[2],
        figures[0].mended.sigma,
        figures[1].mended.sigma,
        figures[2].mended.sigma,
    );
    println!("      {}", refly.sentence);
    tally.n += 1.0;
    for i in 0..3 {
        tally.squares[i] += error[i] * error[i];
        tally.inside[i] += f64::from(error[i].abs() <= 1.96 * figures[i].mended.sigma);
    }
}

/// Asked: 3 degrees, 40 ft, 3 kt rms. Of the 28 twins two are stalls, which are scripted and not flown again, and one is an S-turn
/// with a bank too steep for its radius, which the form does not ask as a bank.
#[test]
fn val_twins_from_the_panel_log() {
    let Some(tally) = twins("avionics") else { return };
    assert!(tally.n >= 25.0);
    let [heading, height, speed] = tally.rms();
    assert!(heading < 3.0 && height < 40.0 && speed < 3.0, "{heading} {height} {speed}");
}

/// Asked: inside its own band. Coordination cannot be mended from satellites: two less.
#[test]
fn val_twins_from_satellites() {
    let Some(tally) = twins("gps_5hz") else { return };
    assert!(tally.n >= 23.0);
    let inside = tally.inside.map(|inside| inside / tally.n);
    assert!(inside.iter().all(|inside| *inside >= 0.9), "{inside:?}");
}

#[test]
fn prop_the_null_edit_gives_the_attempt_back() {
    let Some(trace) = trace("f02", "avionics") else { return };
    let Some(attempts) = json("flown/f02/attempts.json") else { return };
    for attempt in attempts["attempts"].as_array().expect("a list") {
        let Some(figure) = figure_of(attempt["maneuver"].as_str().expect("a name")) else {
            continue;
        };
        for part in parts(&trace, attempt, figure) {
            let polar = Polar::of(&part);
            let flown = Flown::of(&part, &polar, Doubt::NONE).expect("flown");
            let subject = mend::Subject {
                part: &part,
                flown: &flown,
                other: None,
                polar: &polar,
                intent: Intent::default(),
                level_rad: flown.attitude_rad[0],
            };
            let path = fly(&flown, &subject.null(), &polar);
            assert_eq!(path.speed_mps.len(), flown.len(), "{}", attempt["id"]);
            for k in 0..flown.len() {
                let off = [
                    path.speed_mps[k] - flown.speed_mps[k],
                    path.height_m[k] - flown.height_m[k],
                    100.0 * (path.turn_rad[k] - flown.turn_rad[k]),
                    path.north_m[k] - flown.north_m[k],
                    path.east_m[k] - flown.east_m[k],
                ];
                assert!(off.iter().all(|off| off.abs() < 1e-6), "{} {k} {off:?}", attempt["id"]);
            }
        }
    }
}
