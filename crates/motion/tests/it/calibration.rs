//! Sigmas against errors on lessons drawn from seeds: the small, quick part of `cargo xtask calibration` (200 lessons there).
//!
//! Wanted of every quantity of every recorder: the interval of the share of errors inside the 95 % band (attempts drawn anew)
//! holds 0.95, and the root mean square of error over sigma lies in 0.85 to 1.15. What misses that today is in [`MISSED`] with
//! its figures, and may not get worse.

use std::sync::OnceLock;

use synthetic::calibration::{Outcome, QUANTITIES, Scored, Summary, run_flown, summarize};
use synthetic::lesson::{Flight, Lesson};
use synthetic::recorders;

/// Seeds of the lessons; others than those of the long run, which sigmas are made on.
const SEEDS: std::ops::Range<u64> = 5001..5009;
/// Room for what a change of rounding does to a share and to a ratio.
const ROOM: (f64, f64) = (0.01, 0.03);

/// Recorder, quantity, share inside the band and ratio: what is missed today. Wanted: 0.95 and one.
///
/// All measured anew when the airplane that flies the lessons changed (lift of the slipstream, pull of the propeller): the same seeds
/// are other flights since, with sideslips held longer. What heading, bank and sideslip miss comes from those.
const MISSED: &[(&str, &str, f64, f64)] = &[
    ("satellite-1hz", "heading", 0.867, 1.42),
    ("satellite-1hz", "heading change", 0.877, 1.17),
    ("satellite-1hz", "incidence", 0.992, 1.16),
    ("satellite-1hz", "ground speed", 0.928, 1.07),
    ("satellite-5hz", "bank", 0.878, 1.18),
    ("satellite-5hz", "heading", 0.868, 1.42),
    ("satellite-5hz", "heading change", 0.876, 1.17),
    ("satellite-5hz", "incidence", 0.995, 1.17),
    ("satellite-5hz", "ground speed", 0.970, 0.89),
    ("igc", "heading", 0.862, 1.48),
    ("igc", "heading change", 0.874, 1.23),
    ("igc", "wind north", 0.858, 1.26),
    ("igc", "height change", 0.983, 0.86),
    ("igc", "incidence", 0.984, 1.07),
    ("surveillance", "bank", 0.891, 1.16),
    ("surveillance", "heading", 0.865, 1.51),
    ("surveillance", "heading change", 0.869, 1.27),
    ("surveillance", "wind north", 0.839, 1.28),
    ("surveillance", "height change", 0.964, 0.79),
    ("surveillance", "incidence", 0.978, 1.09),
    ("surveillance", "ground speed", 0.962, 0.95),
    ("panel", "TAS", 0.976, 0.88),
    ("panel", "wind north", 0.928, 1.16),
    ("panel", "sideslip", 0.977, 0.79),
    ("panel", "lateral load", 0.973, 0.98),
    ("phone", "heading", 0.866, 1.52),
    ("phone", "TAS", 0.975, 0.79),
    ("phone", "sideslip", 0.879, 1.69),
    ("phone", "lateral load", 0.988, 0.85),
    ("phone", "pitch rate", 0.975, 0.84),
    ("phone", "yaw rate", 0.978, 0.72),
    ("trainer", "bank", 0.990, 0.77),
    ("trainer", "pitch", 0.847, 1.37),
    ("trainer", "heading change", 0.891, 2.01),
    ("trainer", "CAS", 0.998, 0.48),
    ("trainer", "TAS", 0.997, 0.72),
    ("trainer", "incidence", 0.883, 1.21),
    ("trainer", "sideslip", 0.879, 1.45),
];

/// Recorders that give no motion yet.
const REFUSED: &[&str] = &[];

fn lessons() -> &'static [(Lesson, Flight)] {
    static FLOWN: OnceLock<Vec<(Lesson, Flight)>> = OnceLock::new();
    FLOWN.get_or_init(|| {
        let fly = |seed| {
            let lesson = Lesson::draw(seed);
            let flight = lesson.fly()?;
            Some((lesson, flight))
        };
        let flown: Vec<_> = SEEDS.filter_map(fly).collect();
        assert!(flown.len() >= 7, "drawn airplanes fly");
        flown
    })
}

/// How far a summary is from what is wanted: of the share below 0.95, and of the ratio from one.
fn beyond(one: &Summary, cover: f64, ratio: f64) -> bool {
    let far = |ratio: f64| (ratio - 1.0).abs();
    one.cover < cover.min(0.95) - ROOM.0 || far(one.ratio) > far(ratio) + ROOM.1
}

/// Prints what is missed, as lines for [`MISSED`]; returns what is missed and not known, or worse than known.
fn hold(key: &str) -> Vec<String> {
    let recorder = recorders::find(key).expect("a recorder");
    let mut scored: Vec<Scored> = Vec::new();
    for (lesson, flight) in lessons() {
        match run_flown(lesson, flight, recorder) {
            Outcome::Scored(attempts) => scored.extend(attempts),
            Outcome::NotFlown => {}
            Outcome::Refused(why) => assert!(REFUSED.contains(&key), "{key}: {why}"),
        }
    }
    let mut wrong = Vec::new();
    for (index, quantity) in QUANTITIES.iter().enumerate() {
        let Some(one) = summarize(&scored, index) else { continue };
        let known = MISSED.iter().find(|row| (row.0, row.1) == (key, quantity.name));
        if !one.calibrated() {
            println!("    (\"{key}\", \"{}\", {:.3}, {:.2}),", quantity.name, one.cover, one.ratio);
        }
        match known {
            None if one.calibrated() => {}
            Some((_, _, cover, ratio)) if !beyond(&one, *cover, *ratio) => {}
            _ => wrong.push(format!("{key} {}: {one:?}", quantity.name)),
        }
    }
    assert!(!scored.is_empty() || REFUSED.contains(&key));
    wrong
}

fn hold_all(keys: &[&str]) {
    let wrong: Vec<String> = keys.iter().flat_map(|key| hold(key)).collect();
    assert!(wrong.is_empty(), "missed and not known for it, or worse than known: {wrong:#?}");
}

#[test]
fn val_sigmas_of_the_satellite_loggers() {
    hold_all(&["satellite-1hz", "satellite-5hz"]);
}

#[test]
fn val_sigmas_of_rounded_positions() {
    hold_all(&["igc", "surveillance"]);
}

#[test]
fn val_sigmas_of_the_panel_log() {
    hold_all(&["panel", "trainer"]);
}

#[test]
fn val_sigmas_of_the_phone() {
    hold_all(&["phone"]);
}
