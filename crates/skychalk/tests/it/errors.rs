//! What users type and bring that is wrong: each gets what is wrong, where, and what to do; status 2; nothing on standard
//! output.

use crate::run::{demo_recording, repository, run, run_with_input, temporary};

/// The request is refused with these words in the error and these in the hint.
fn check(arguments: &[&str], error: &str, hint: &str) {
    check_with_input(arguments, b"", error, hint);
}

fn check_with_input(arguments: &[&str], input: &[u8], error: &str, hint: &str) {
    let run = run_with_input(arguments, input);
    assert_eq!(run.status, 2, "{arguments:?}: {}", run.err);
    assert_eq!(run.out, "", "{arguments:?}");
    let line = |start: &str, words: &str| {
        run.err.lines().any(|line| line.starts_with(start) && line.contains(words))
    };
    assert!(line("error: ", error), "{arguments:?}: no error with {error:?} in:\n{}", run.err);
    assert!(line("hint: ", hint), "{arguments:?}: no hint with {hint:?} in:\n{}", run.err);
}

fn brief_with(option: &str, text: &str, error: &str, hint: &str) {
    check(&["brief", "chandelle", "--airplane", "plover-160", option, text], error, hint);
}

#[test]
fn prop_quantities_without_or_with_a_wrong_unit_are_refused_with_an_example() {
    brief_with("--height", "4500", "height: height above mean sea level needs a unit", "4500ft");
    brief_with("--height", "4500yd", "unknown unit \"yd\"", "units: m, ft");
    brief_with("--height", "-90000ft", "outside", "check the number and its unit");
    brief_with("--weight", "1010", "weight: mass needs a unit", "1010kg");
    brief_with("--qnh", "29.92hPa", "outside 850 hPa", "inHg");
    brief_with("--oat", "28", "oat: temperature needs a unit", "28C");
    brief_with("--wind", "270/12", "wind: not a wind", "270/12kt");
    brief_with("--speed", "fast", "must start with a number", "105kt");
    brief_with("--field-elevation", "600", "field-elevation:", "write the unit too");
}

#[test]
fn prop_unknown_names_get_the_nearest_and_the_list() {
    check(&["brief", "chandele", "--airplane", "plover-160"], "no maneuver", "mean chandelle?");
    check(&["brief", "chandelle", "--airplane", "plover160"], "no airplane", "mean plover-160?");
    check(&["maneuver", "show", "lazy"], "no maneuver", "mean lazy-eight?");
    check(&["standard", "show", "faa"], "no standard", "faa-commercial");
    check(&["brief", "chandelle"], "no airplane given", "plover-160");
    brief_with("--weight", "-900kg", "outside 50 kg", "check the number");
    brief_with("--form", "steap", "no form of chandelle", "mean steep?");
    let run = run(&["brief", "chandelle", "--airplane", "plover-160", "--format", "word"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("possible values: text, html, pdf, svg, json"), "{}", run.err);
}

#[test]
fn prop_files_that_cannot_be_had_are_told_by_name() {
    check(&["debrief", "no-such-file.gpx"], "no-such-file.gpx: no such file", "check the name");
    check(&["debrief", &repository("data/fonts")], "none of 4 recordings", "about each");
    check(&["airplane", "check", "no-such.toml"], "no-such.toml: no such file", "check the name");
    check(&["brief", "chandelle", "--airplane", "./gone.toml"], "gone.toml", "check the name");
}

#[test]
fn prop_recordings_that_cannot_be_read_say_where_and_what_to_do() {
    let gpx = br#"<?xml version="1.0"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
<trkpt lat="47.1" lon="-31.4"><ele>900</ele><time>2026-05-04T14:02:11Z</time></trkpt>
<trkpt lat="47.2" lon="-31.4"><ele>9"#;
    check_with_input(&["debrief", "-"], gpx, "line 4", "");
    let igc = b"AXXX001\r\nHFDTE040526\r\nB1402114706000N03124000WA0090000900\r\nB14021247\r\n";
    check_with_input(&["debrief", "-"], igc, "line 4", "");
    let no_time = b"latitude_deg,longitude_deg,height_m\n47.1,-31.4,900\n47.2,-31.4,901\n";
    check_with_input(&["debrief", "-"], no_time, "time", "");
    check_with_input(&["debrief", "-"], b"\x00\x01\x02binary", "standard input", "known formats");
    check_with_input(&["debrief", "-"], b"", "standard input", "");
}

#[test]
fn prop_a_unit_that_is_not_one_or_not_of_a_column_is_refused() {
    let demo = demo_recording();
    check(&["debrief", &demo, "--unit", "ground_speed"], "not a column and its unit", "equals");
    check(&["debrief", &demo, "--unit", "ground_speed_mps=furlong"], "furlong", "");
    check(&["debrief", &demo, "--unit", "no_such_column=kt"], "no_such_column", "");
}

/// Every fault of an airplane file in one pass, each with its line.
#[test]
fn prop_faults_of_an_airplane_file_are_told_by_line() {
    let good = std::fs::read_to_string(repository("data/airplanes/plover-160.toml"))
        .expect("the demo airplane is there");
    let line_of = |start: &str| {
        let at = good.lines().position(|line| line.starts_with(start));
        at.unwrap_or_else(|| panic!("no line {start}")) + 1
    };
    let (span, never_exceed) = (line_of("span"), line_of("never_exceed"));
    let edited: Vec<&str> = good
        .lines()
        .map(|line| match line {
            _ if line.starts_with("span") => "span = 10.2",
            _ if line.starts_with("never_exceed") => "never_exceed = \"-158 kt\"",
            _ => line,
        })
        .collect();
    let file = temporary("faulty.toml", edited.join("\n").as_bytes());
    for place in [format!("line {span}"), format!("line {never_exceed}")] {
        check(&["airplane", "check", &file], &place, &place);
        check(&["brief", "chandelle", "--airplane", &file], &place, &place);
    }
    // Impossible figures and misspelled approvals, each with its line.
    for (start, from, to, what) in [
        ("load_factor_max", "4.4", "44", "outside 2 to 15 g"),
        ("span", "10.4 m", "104 m", "span is outside 4 to 40 m"),
        ("power_max", "= \"", "= \"9", "power_max is outside"),
        ("approved", "chandelle", "chandele", "\"chandele\" is not known"),
    ] {
        let at = line_of(start);
        let edited: Vec<String> = good
            .lines()
            .enumerate()
            .map(|(i, line)| if i + 1 == at { line.replacen(from, to, 1) } else { line.into() })
            .collect();
        let file = temporary("impossible.toml", edited.join("\n").as_bytes());
        check(&["airplane", "check", &file], what, &format!("line {at}"));
    }
    let missing = good.lines().filter(|line| !line.starts_with("span")).collect::<Vec<_>>();
    let file = temporary("missing.toml", missing.join("\n").as_bytes());
    check(&["airplane", "check", &file], "span is missing", "span");
}

#[test]
fn prop_control_characters_of_names_do_not_reach_the_terminal() {
    let run = run(&["debrief", "no\u{1b}[2Jsuch"]);
    assert!(!run.err.contains('\u{1b}'), "{:?}", run.err);
}

/// A file whose name is no text for people is opened all the same.
#[cfg(unix)]
#[test]
fn prop_a_file_name_may_be_any_the_system_takes() {
    use std::os::unix::ffi::OsStrExt;
    let name = [env!("CARGO_TARGET_TMPDIR").as_bytes(), b"/lesson-\xff.csv"].concat();
    let path = std::path::Path::new(std::ffi::OsStr::from_bytes(&name));
    std::fs::copy(demo_recording(), path).expect("the temporary folder can be written");
    let program = std::process::Command::new(env!("CARGO_BIN_EXE_skychalk"))
        .arg("find")
        .arg(path)
        .output()
        .expect("the program runs");
    assert_eq!(program.status.code(), Some(0), "{}", String::from_utf8_lossy(&program.stderr));
}

#[test]
fn prop_the_machine_failing_is_told_apart_from_a_wrong_request() {
    let run = run(&["serve", "--no-browser", "--listen", "192.0.2.1:1"]);
    assert_eq!(run.status, 3, "{}", run.err);
    assert!(run.err.contains("hint: choose another port"), "{}", run.err);
}
