//! Flights of others, end to end through the program: what was flown is found and measured, nothing is invented. JSON is
//! held against the published schema.

use serde_json::Value;

use crate::run::{checked, run_with_input};

/// The debrief of bytes on standard input, and its status.
fn debrief(bytes: &[u8], options: &[&str]) -> (i32, Value) {
    let arguments = [["debrief", "-", "--format", "json"].as_slice(), options].concat();
    let run = run_with_input(&arguments, bytes);
    assert!(run.status < 2, "{}", run.err);
    (run.status, checked("debrief", &run.out))
}

fn list<'v>(value: &'v Value, member: &str) -> &'v [Value] {
    value[member].as_array().map_or(&[], Vec::as_slice)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

/// Catalogue keys of the figures in the truth files that this program looks for.
const FIGURES: [(&str, &str); 10] = [
    ("steep turn", "steep-turn"),
    ("chandelle", "chandelle"),
    ("lazy eight", "lazy-eight"),
    ("wing-over series", "wing-over"),
    ("slow flight", "slow-flight"),
    ("power-off stall", "power-off-stall"),
    ("power-on stall", "power-on-stall"),
    ("steep spiral", "steep-spiral"),
    ("S-turns across a road", "s-turns"),
    ("turns around a point", "turns-around-a-point"),
];

/// The halves of a figure that has them, else the figure.
fn pieces(attempt: &Value) -> Vec<&Value> {
    match attempt["parts"].as_array() {
        Some(parts) => parts.iter().collect(),
        None => vec![attempt],
    }
}

/// Members of a checkpoint, their names in the truth, and by how much one may be off at worst: gross bounds, against a wrong
/// side, place or unit; the tight figures are held by the tests of motion and assess.
const AT_CHECKPOINTS: [(&str, &str, f64); 4] = [
    ("bank_deg", "roll_deg", 8.0),
    ("cas_kt", "cas_kt", 6.0),
    ("height_ft", "height_ft", 60.0),
    // Worst today 0.44 g: in a pull-out the load changes so much in the second by which the heading's error moves the place.
    ("load_factor", "nz_g", 0.6),
];

/// Every figure of a flight with known truth is found under its name, on its side, within its time; nothing else is; the
/// bank at its checkpoints is that of the truth. Source: checks/flown (foreign six-degree flight model; README there).
fn whole_flight(flight: &str, recording: &str) {
    let Some(truth) = checks::text(&format!("flown/{flight}/attempts.json")) else { return };
    let Some(bytes) = checks::bytes(&format!("flown/{flight}/{recording}.csv")) else { return };
    let truth: Value = serde_json::from_str(&truth).expect("the truth is JSON");
    let (status, debrief) = debrief(&bytes, &[]);
    let key = |attempt: &Value| {
        FIGURES.iter().find(|(name, _)| attempt["maneuver"] == *name).map(|(_, key)| *key)
    };
    let flown: Vec<(&Value, &str)> = list(&truth, "attempts")
        .iter()
        .filter_map(|attempt| Some((attempt, key(attempt)?)))
        .collect();
    let found = list(&debrief, "attempts");
    let mut compared = 0;
    assert_eq!((status, found.len()), (0, flown.len()), "{flight} {recording}");
    for ((flown, key), found) in flown.iter().zip(found) {
        let name = format!("{flight} {recording} {}", flown["id"]);
        assert_eq!(found["maneuver"], *key, "{name}");
        assert_eq!(found["direction"], flown["direction"], "{name}");
        let late_s = number(&found["start_s"]) - number(&flown["start_s"]);
        // Where a throttle is pulled is not seen at once: five seconds are wanted for slow flight and stalls.
        let slow = key.ends_with("stall") || *key == "slow-flight";
        let most_s = if slow { 5.0 } else { 3.0 };
        assert!(late_s.abs() < most_s, "{name}: start off by {late_s:.1} s");
        for (flown, found) in pieces(flown).iter().zip(pieces(found)) {
            for checkpoint in list(found, "checkpoints") {
                let turn = number(&checkpoint["turn_deg"]).round();
                let at = &flown["checkpoints"][format!("{turn:.0}")];
                for (measured, truth, most) in AT_CHECKPOINTS {
                    let value = checkpoint[measured]["value"].as_f64();
                    if let (Some(value), Some(truth)) = (value, at[truth].as_f64()) {
                        let off = (value - truth).abs();
                        let what = format!("{name} at {turn}, {measured}");
                        assert!(off < most, "{what}: {value}, flown {truth}");
                        compared += 1;
                    }
                }
            }
        }
    }
    assert!(compared >= 20 * flown.len() / 2, "{flight} {recording}: {compared} compared");
}

#[test]
fn val_the_first_flown_flight_is_debriefed_from_fixes_alone() {
    whole_flight("f01", "gps_1hz");
    whole_flight("f01", "gps_5hz");
}

#[test]
fn val_the_third_flown_flight_is_debriefed_from_fixes_and_from_a_panel_log() {
    whole_flight("f03", "gps_5hz");
    whole_flight("f03", "avionics");
}

/// A real flight review with stalls and two full turns at 35 degrees of bank, told by its pilot (recordings/README.md): the turns are
/// found, and held against the standard: the bank of both is outside. Of the stalls two with power are found; the power-off one is
/// missed (see the adjudication in assess).
#[test]
fn val_the_two_steep_turns_of_a_real_flight_review_are_found() {
    let Some(bytes) = checks::recording("csv/da20_flight_review_2018-10-15_part.csv") else {
        return;
    };
    let (status, debrief) = debrief(&bytes, &[]);
    let told: Vec<String> = list(&debrief, "attempts")
        .iter()
        .map(|attempt| format!("{} {}", attempt["maneuver"], attempt["direction"]))
        .collect();
    let stall = "\"power-on-stall\" \"none\"";
    assert_eq!(told, [stall, stall, "\"steep-turn\" \"left\"", "\"steep-turn\" \"right\""]);
    assert_eq!(status, 0);
    for attempt in &list(&debrief, "attempts")[2..] {
        let bank = list(attempt, "findings").iter().find(|finding| finding["id"] == "bank");
        assert_eq!(bank.expect("bank is judged")["verdict"], "not met");
    }
}

/// Real flights without any of these figures: nothing is found, and that is an answer.
#[test]
fn val_nothing_is_invented_in_real_flights_without_figures() {
    for path in [
        "csv/g1000_2024-01-21_part.csv",
        "csv/g3x_2024-03-09_part.csv",
        "gpx/ljpz_lida_2024-04-13.gpx",
        "igc/aerofiles_skydrop-2019-04-15.igc",
    ] {
        let Some(bytes) = checks::recording(path) else { continue };
        let (status, debrief) = debrief(&bytes, &[]);
        assert_eq!((status, list(&debrief, "attempts").len()), (1, 0), "{path}");
    }
}
