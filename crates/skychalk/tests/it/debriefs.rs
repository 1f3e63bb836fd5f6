//! Debriefs of several flights, notes about attempts, limits in the whole flight: through the program.

use crate::run::{checked, demo_recording, run, temporary};

/// Two flights and a file that is none, each on its own: one document that holds to its schema, the bad one told beside it.
#[test]
fn each_recording_is_a_flight_of_its_own() {
    let bad = temporary("not-a-flight.txt", b"nothing of the sort");
    let demo = demo_recording();
    let many = run(&["debrief", "--each", &demo, &bad, &demo, "--format", "json"]);
    assert_eq!(many.status, 0, "{}", many.err);
    let document = checked("debriefs", &many.out);
    let flights = document["flights"].as_array().expect("a list");
    let schemas: Vec<&str> = flights.iter().filter_map(|one| one["schema"].as_str()).collect();
    assert_eq!(schemas, ["skychalk.debrief/1", "skychalk.error/1", "skychalk.debrief/1"]);
    assert!(many.err.contains("not-a-flight.txt"), "{}", many.err);
    let table = run(&["debrief", "--each", &demo, &demo, "--format", "csv"]);
    assert!(table.out.lines().all(|line| !line.is_empty()) && table.out.lines().count() > 40);
    let refused = run(&["debrief", "--each", &demo, &demo, "--format", "html"]);
    assert_eq!(refused.status, 2);
    assert!(refused.err.contains("one of: text, json, csv"), "{}", refused.err);
}

/// Who flew the first attempt, and with what help, is in the debrief; a note about no attempt is told.
#[test]
fn notes_say_who_flew_and_with_what_help() {
    let notes = temporary(
        "notes.toml",
        b"[[attempt]]\nnumber = 1\nby = \"A. Heron\"\nhelp = \"talked through\"\n\n[[attempt]]\nnumber = 99\nhelp = \"unaided\"\n",
    );
    let said = run(&["debrief", &demo_recording(), "--notes", &notes, "--format", "json"]);
    let document = checked("debrief", &said.out);
    assert_eq!(document["attempts"][0]["flown"]["help"], "talked through");
    assert_eq!(document["attempts"][0]["flown"]["by"], "A. Heron");
    assert_eq!(document["attempts"][1]["flown"]["help"], "not stated");
    assert!(said.out.contains("there is no attempt 99"));
    let text = run(&["debrief", &demo_recording(), "--notes", &notes]);
    assert!(text.out.contains("by A. Heron, talked through"), "{}", text.out);
}

/// What cannot be looked for says why; with the airplane and the ground it can.
#[test]
fn limits_are_looked_for_in_the_whole_flight() {
    let kinds = |more: &[&str]| {
        let demo = demo_recording();
        let arguments = [["debrief", &demo, "--format", "json"].as_slice(), more].concat();
        let document = checked("debrief", &run(&arguments).out);
        let checks = document["event_checks"].as_array().expect("a list").clone();
        checks.iter().filter(|check| check["checked"] == true).count()
    };
    let known = ["--airplane", "plover-160", "--ground-elevation", "0ft", "--stall-margin", "5kt"];
    assert!(kinds(&known) >= kinds(&[]) + 6, "{} {}", kinds(&known), kinds(&[]));
    let bare = run(&["debrief", &demo_recording(), "--stall-margin", "5"]);
    assert_eq!(bare.status, 2, "a bare number is refused");
}

/// One attempt told in full keeps its number and stands without the others; a number that no attempt has is refused with how many there are.
#[test]
fn one_attempt_is_told_by_its_number() {
    let text = run(&["debrief", &demo_recording(), "--attempt", "3"]);
    let heads = |out: &str| -> Vec<String> {
        let numbered =
            |line: &&str| line.split_once(". ").is_some_and(|(n, _)| n.parse::<usize>().is_ok());
        out.lines().filter(numbered).map(|line| line[..2].to_owned()).collect()
    };
    assert_eq!(heads(&text.out), ["3."], "{}", text.out);
    assert!(heads(&run(&["debrief", &demo_recording()]).out).len() > 5);
    let none = run(&["debrief", &demo_recording(), "--attempt", "99"]);
    assert_eq!(none.status, 2);
    assert!(
        none.err.contains("attempt 99 is asked for, and") && none.err.contains("hint: "),
        "{}",
        none.err
    );
    let slip = run(&["debrief", &demo_recording(), "--attempt", "0"]);
    assert_eq!(slip.status, 2, "{}", slip.err);
}

/// A recording that was cut within a figure does not tell how that was ended: nothing of its end is judged against the student.
#[test]
fn a_figure_that_the_recording_ends_within_is_not_judged_by_its_end() {
    let lesson = std::fs::read_to_string(demo_recording()).expect("the bundled lesson");
    let until = |time: &str| -> String {
        let (head, rows) = lesson.split_at(lesson.find("\n2026").expect("rows") + 1);
        let told = rows.lines().take_while(|row| &row[11..19] < time);
        told.fold(head.to_owned(), |text, row| text + row + "\n")
    };
    let mut cut = 0;
    // The first steep turn ends 2:52 after the begin of the lesson, the first chandelle 5:25.
    for time in ["09:16:44", "09:16:48", "09:16:50", "09:19:16", "09:19:20", "09:19:23"] {
        let half =
            temporary(&format!("half-{}.csv", time.replace(':', "")), until(time).as_bytes());
        let document = checked("debrief", &run(&["debrief", &half, "--format", "json"]).out);
        let Some(last) = document["attempts"].as_array().and_then(|all| all.last()) else {
            continue;
        };
        let notes = last["notes"].as_array().expect("a list");
        if !notes
            .iter()
            .any(|note| note.as_str().is_some_and(|n| n.contains("recording ends here")))
        {
            continue;
        }
        cut += 1;
        for finding in last["findings"].as_array().expect("a list") {
            let of_the_end = ["rollout-heading", "exit-height", "exit-airspeed"]
                .contains(&finding["id"].as_str().unwrap_or_default());
            assert!(!of_the_end || finding["verdict"] != "not met", "{time}: {finding}");
        }
        for fault in last["faults"].as_array().expect("a list") {
            let id = fault["id"].as_str().unwrap_or_default();
            assert!(!["rolled-out-early", "stopped-short"].contains(&id), "{time}: {fault}");
        }
    }
    assert!(cut > 2, "{cut} of the cuts are within a figure that was found");
}
