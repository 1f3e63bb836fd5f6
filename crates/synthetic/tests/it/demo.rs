//! The demo flight, from its file to its debrief.

use crate::debriefed;
use flight::airplane::bundled;
use synthetic::demo;

/// The file as it is shipped.
const SHIPPED: &str = include_str!("../../../../data/demo/saltmarsh-lesson.csv");

#[test]
fn golden_the_shipped_file_is_what_the_script_gives() {
    let same = demo::csv(&demo::fly()) == SHIPPED;
    assert!(
        same,
        "the physics or the script changed: run cargo xtask demo-flight and look at the debrief"
    );
    assert!(SHIPPED.len() < 700_000);
}

#[test]
fn prop_scripted_attempts_are_found_and_nothing_else() {
    let airplane = bundled::load(demo::AIRPLANE).expect("bundled");
    let flown = demo::fly();
    let debrief = debriefed(demo::FILE, SHIPPED, &airplane);
    for found in &debrief.attempts {
        let words = assess::attempt::way(found.direction);
        println!("found {} {words} {:.0} s to {:.0} s", found.maneuver, found.start_s, found.end_s);
    }
    assert_eq!(debrief.attempts.len(), flown.attempts.len());
    for (wanted, found) in flown.attempts.iter().zip(&debrief.attempts) {
        let figure = &wanted.figure;
        assert_eq!((found.maneuver, found.form), (figure.maneuver, figure.form));
        assert_eq!(found.direction, Some(figure.direction));
        let both = wanted.end_s.min(found.end_s) - wanted.start_s.max(found.start_s);
        let either = wanted.end_s.max(found.end_s) - wanted.start_s.min(found.start_s);
        println!(
            "{}: start {:+.1} s, end {:+.1} s, confidence {:.3}",
            figure.maneuver,
            found.start_s - wanted.start_s,
            found.end_s - wanted.end_s,
            found.confidence
        );
        assert!(both / either > 0.85, "{both} of {either}");
    }
}

#[test]
fn prop_what_was_done_wrong_is_named_and_nothing_else() {
    let airplane = bundled::load(demo::AIRPLANE).expect("bundled");
    let debrief = debriefed(demo::FILE, SHIPPED, &airplane);
    for (wanted, found) in demo::fly().attempts.iter().zip(&debrief.attempts) {
        let named: Vec<&str> =
            found.parts.iter().flat_map(|part| &part.faults).map(|fault| fault.id).collect();
        let injected: Vec<&str> = wanted.figure.fault().into_iter().collect();
        assert_eq!(named, injected, "{}", found.maneuver);
    }
}

#[test]
fn prop_the_reader_needs_to_assume_nothing() {
    let airplane = bundled::load(demo::AIRPLANE).expect("bundled");
    let recording = debriefed(demo::FILE, SHIPPED, &airplane).recording;
    assert_eq!(recording.start, Some(demo::start()));
    assert_eq!(recording.height_datum, recording::HeightDatum::MeanSeaLevel);
    assert_eq!(recording.gaps.len(), 3);
    let assumed =
        recording.notes.iter().filter(|note| note.kind == recording::NoteKind::Assumed).count();
    assert_eq!(assumed, 0, "{:?}", recording.notes);
}
