//! `skychalk recording show`, column maps, and several recordings of one flight.

use crate::run::{checked, demo_recording, run, temporary};

/// A table without names that are known, clock or positions: everything has to be said.
const SILENT: &str = "speed of the air,roll left\n80,-10\n81,-11\n82,-12\n";
const MAP: &str = "schema = \"skychalk.columns/1\"\n[table]\nrow_interval_s = 1\n[[column]]\nname = \"speed of the air\"\nmeaning = \"indicated-airspeed\"\nunit = \"kt\"\n[[column]]\nname = \"roll left\"\nmeaning = \"bank\"\nunit = \"deg\"\nsign = \"turned\"\n";

#[test]
fn golden_the_demo_recording_is_shown_in_every_form() {
    let file = demo_recording();
    let text = run(&["recording", "show", &file]);
    assert_eq!(text.status, 0, "{}", text.err);
    for part in [
        "Recording: saltmarsh-lesson.csv",
        "What it holds",
        "position",
        "What the reader has to say",
        "Columns read",
    ] {
        assert!(text.out.contains(part), "{part}: {}", text.out);
    }
    assert!(text.out.lines().all(|line| line.chars().count() <= 80));
    let json = run(&["recording", "show", &file, "--format", "json"]);
    let sheet = checked("recording", &json.out);
    assert_eq!(sheet["format"], "csv");
    let position = &sheet["sensors"][0];
    assert!(
        position["quantity"] == "position" && position["count"].as_u64() > Some(500),
        "{position}"
    );
    assert!(sheet["columns"].as_array().is_some_and(|columns| columns.len() > 3));
    let csv = run(&["recording", "show", &file, "--format", "csv"]);
    assert!(
        csv.out.starts_with(
            "quantity,origin,unit,count,rate_hz,from_s,to_s,least,most,gaps,gaps_s\nposition,fixes,"
        ),
        "{}",
        csv.out
    );
    for (format, part) in [("html", "When each sensor recorded"), ("svg", "From above")] {
        let run = run(&["recording", "show", &file, "--format", format]);
        assert!(run.status == 0 && run.out.contains(part), "{format}: {}", run.err);
    }
}

#[test]
fn golden_a_map_is_saved_edited_and_used_by_every_command() {
    let map = temporary("saved.toml", b"");
    let saved = run(&["recording", "show", &demo_recording(), "--save-columns", &map]);
    assert_eq!(saved.status, 0, "{}", saved.err);
    let text = std::fs::read_to_string(&map).expect("the map was written");
    assert!(
        text.contains("schema = \"skychalk.columns/1\"") && text.contains("meaning = \"latitude\""),
        "{text}"
    );
    for command in ["find", "debrief", "reconstruct"] {
        let with = run(&[command, &demo_recording(), "--columns", &map, "--format", "csv"]);
        let without = run(&[command, &demo_recording(), "--format", "csv"]);
        assert_eq!(
            (with.status, with.out == without.out),
            (without.status, true),
            "{command}: {}",
            with.err
        );
    }
    let silent = temporary("silent.csv", SILENT.as_bytes());
    let map = temporary("silent.toml", MAP.as_bytes());
    let shown = run(&["recording", "show", &silent, "--columns", &map, "--format", "csv"]);
    assert!(
        shown.out.contains("\nbank,roll left,°,3,1,0,2,10,12,0,0\n"),
        "{} {}",
        shown.out,
        shown.err
    );
    let faulty = temporary("faulty.toml", MAP.replace("bank", "banck").as_bytes());
    let refused = run(&["recording", "show", &silent, "--columns", &faulty]);
    assert_eq!(refused.status, 2);
    assert!(
        refused.err.contains("faulty.toml, line 10: meaning: \"banck\" is not known"),
        "{}",
        refused.err
    );
    assert!(refused.err.contains("did you mean bank?"), "{}", refused.err);
    let other = run(&["recording", "show", &demo_recording(), "--columns", &map]);
    assert!(
        other.err.contains("silent.toml, line 5: no column \"speed of the air\" in this file"),
        "{}",
        other.err
    );
}

#[test]
fn golden_the_interval_between_rows_is_asked_for_and_taken() {
    let table = temporary("no-clock.csv", b"IAS (kt),Roll (deg)\n80,1\n81,2\n82,3\n");
    let asked = run(&["recording", "show", &table]);
    assert!(asked.status == 2 && asked.err.contains("--row-interval 1s"), "{}", asked.err);
    let shown = run(&["recording", "show", &table, "--row-interval", "200ms", "--format", "csv"]);
    assert!(shown.out.contains("bank,Roll (deg),°,3,5,0,0.4,1,3"), "{} {}", shown.out, shown.err);
    let refused = run(&["recording", "show", &table, "--row-interval", "1"]);
    assert!(refused.status == 2 && refused.err.contains("200ms"), "{}", refused.err);
}

#[test]
fn golden_two_recordings_of_one_flight_are_one() {
    let whole = std::fs::read_to_string(demo_recording()).expect("the demo is there");
    let rows: Vec<&str> = whole.lines().collect();
    let half = [&rows[..3], &rows[rows.len() / 2..]].concat().join("\n");
    let second = temporary("second-half.csv", half.as_bytes());
    let joined = run(&["recording", "show", &demo_recording(), &second]);
    assert_eq!(joined.status, 0, "{}", joined.err);
    assert!(
        joined.out.contains("Recording: saltmarsh-lesson.csv + second-half.csv"),
        "{}",
        joined.out
    );
    assert!(
        joined.out.contains("second-half.csv joined to saltmarsh-lesson.csv"),
        "{}",
        joined.out
    );
    let alone = run(&["find", &demo_recording(), "--format", "csv"]);
    let both = run(&["find", &demo_recording(), &second, "--format", "csv"]);
    assert_eq!(both.out, alone.out);
    let unit = run(&["find", &demo_recording(), &second, "--unit", "klimb=ft/s"]);
    assert!(
        unit.status == 2 && unit.err.contains("none of the recordings names a column klimb"),
        "{}",
        unit.err
    );
    let other = temporary("other.csv", b"timestamp,lat,lon,alt_m\n2020-01-01T00:00:00Z,46,8,1000\n2020-01-01T00:00:01Z,46.0005,8,1000\n2020-01-01T00:00:02Z,46.001,8,1000\n");
    let refused = run(&["debrief", &demo_recording(), &other]);
    assert_eq!(refused.status, 2, "{}", refused.out);
    assert!(
        refused.err.contains("cannot be of one flight") || refused.err.contains("no common clock"),
        "{}",
        refused.err
    );
}

/// Every recording of the folder is shown or refused with a hint; nothing panics, no line is wider than the terminal.
#[test]
fn val_every_real_recording_is_shown_or_refused_with_a_hint() {
    let Some(root) = checks::folder().map(|root| root.join("../recordings")) else { return };
    for folder in ["csv", "igc", "gpx", "kml", "nmea", "adsb", "avionics-serial"] {
        let Ok(entries) = std::fs::read_dir(root.join(folder)) else { continue };
        for path in entries.flatten().map(|entry| entry.path()) {
            let path = path.to_string_lossy().into_owned();
            let shown = run(&["recording", "show", &path]);
            assert!(
                shown.status == 0 || (shown.status == 2 && shown.err.contains("hint: ")),
                "{path}: {}",
                shown.err
            );
            assert!(shown.out.lines().all(|line| line.chars().count() <= 80), "{path}");
        }
    }
}
