//! The demo flight, from its file to its debrief.

use crate::debriefed;
use flight::airplane::bundled;
use synthetic::demo;
use synthetic::script::Deviation;

#[test]
fn prop_scripted_attempts_are_found_and_nothing_else() {
    let airplane = bundled::load(demo::AIRPLANE).expect("bundled");
    let flown = demo::fly();
    let text = demo::csv(&flown);
    println!("{} bytes, {:.0} s", text.len(), flown.truth.last().unwrap().sample.time_s);
    let debrief = debriefed(demo::FILE, &text, &airplane);
    for note in &debrief.notes {
        println!("note: {note:?}");
    }
    for attempt in &flown.attempts {
        println!(
            "true  {:7.1} {:7.1} {} {} {} {:?} turned {:.0}",
            attempt.start_s,
            attempt.end_s,
            attempt.figure.maneuver,
            attempt.figure.form,
            attempt.figure.direction.word(),
            attempt.figure.deviation,
            attempt.turned_last_rad.to_degrees()
        );
    }
    for found in &debrief.attempts {
        let faults: Vec<_> =
            found.parts.iter().flat_map(|part| &part.faults).map(|f| (f.id, &f.evidence)).collect();
        println!(
            "found {:7.1} {:7.1} {} {} {} {:.2} {faults:?}",
            found.start_s,
            found.end_s,
            found.maneuver,
            found.form,
            found.direction.word(),
            found.confidence,
        );
        for part in &found.parts {
            for at in &part.checkpoints {
                println!(
                    "      {:4.0} bank {:6.1} pitch {:5.1} cas {:5.1} height {:6.0}",
                    at.turn_deg,
                    at.bank_deg.map_or(f64::NAN, |e| e.value),
                    at.pitch_deg.map_or(f64::NAN, |e| e.value),
                    at.cas_kt.map_or(f64::NAN, |e| e.value),
                    at.height_ft.map_or(f64::NAN, |e| e.value)
                );
            }
        }
    }
    assert_eq!(debrief.attempts.len(), flown.attempts.len());
    for (wanted, found) in flown.attempts.iter().zip(&debrief.attempts) {
        assert_eq!(found.maneuver, wanted.figure.maneuver);
        assert_eq!(found.direction, wanted.figure.direction);
        assert_eq!(
            wanted.figure.deviation == Deviation::None,
            wanted.figure.deviation.fault().is_none()
        );
    }
}
