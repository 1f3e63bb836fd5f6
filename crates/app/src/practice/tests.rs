//! A planted fault is drawn the same way every time, stays hidden until asked for, and is what a debrief of the flight names.

#![allow(clippy::print_stdout, reason = "what was named is printed")]

use super::{practice, recording};
use crate::answer::Answer;
use crate::brief::Asked;
use crate::choose;
use crate::debrief::{Brought, Told, debrief};
use crate::typed::Typed;
use assess::practice::plantable;

fn asked(maneuver: &str) -> Asked {
    let airplane = choose::known_airplane("plover-160").expect("bundled");
    let typed = Typed::new([("maneuver", maneuver), ("direction", "left"), ("wind", "240/10kt")]);
    Asked::read(&typed, airplane).expect("a request")
}

#[test]
fn prop_the_same_seed_gives_the_same_flight_and_keeps_its_secret() {
    let asked = asked("chandelle");
    let answer = practice(&asked, None, (7, false)).expect("flies");
    let again = practice(&asked, None, (7, true)).expect("flies");
    assert_eq!(answer.csv(), again.csv());
    let fault = again.planted.fault.id;
    assert!(!answer.json().contains(fault) && again.json().contains(fault));
    assert_ne!(answer.csv(), practice(&asked, None, (8, false)).expect("flies").csv());
}

#[test]
fn prop_a_fault_that_does_not_fit_is_refused_with_those_that_do() {
    let error = practice(&asked("chandelle"), Some("hurried-roll"), (1, false)).unwrap_err();
    assert!(error.hint().contains("rolled-out-early"), "{}", error.hint());
}

/// Every fault of the chandelle and the steep turn, planted, is the first or second that the debrief names.
#[test]
fn prop_a_planted_fault_is_named_by_the_debrief() {
    let standard = choose::standard(choose::usual_standard()).expect("bundled");
    let (mut planted, mut named) = (0, 0);
    for maneuver in ["chandelle", "steep-turn"] {
        let asked = asked(maneuver);
        for fault in plantable(maneuver) {
            let flight = practice(&asked, Some(fault), (3, false)).expect("flies");
            let bytes = recording(&flight.planted, 3).into_bytes();
            let told = Told { airplane: Some(asked.airplane.clone()), ..Told::default() };
            let answer =
                debrief(vec![Brought::new("p.csv", bytes)], &told, &standard).expect("reads");
            let faults = answer.debrief.attempts.iter().flat_map(|attempt| {
                attempt.parts.iter().flat_map(|part| part.faults.iter().take(2))
            });
            let found: Vec<&str> = faults.map(|fault| fault.id).collect();
            println!("{maneuver} {fault}: {found:?}");
            planted += 1;
            named += usize::from(found.contains(fault));
            assert!(!answer.debrief.attempts.is_empty(), "{maneuver} {fault} is not found");
        }
    }
    assert_eq!((named, planted), (11, 11));
}
