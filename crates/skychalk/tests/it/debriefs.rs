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
