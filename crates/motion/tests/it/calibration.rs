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

/// Recorder, quantity, share inside the band and ratio: what is missed today.
const MISSED: &[(&str, &str, f64, f64)] = &[
    ("satellite-1hz", "pitch change", 0.958, 0.83),
    ("satellite-1hz", "wind east", 0.982, 0.87),
    ("satellite-1hz", "incidence", 0.900, 1.37),
    ("satellite-1hz", "yaw rate", 0.959, 0.83),
    ("satellite-5hz", "pitch change", 0.959, 0.82),
    ("satellite-5hz", "wind east", 0.983, 0.81),
    ("satellite-5hz", "incidence", 0.899, 1.38),
    ("satellite-5hz", "ground speed", 0.968, 0.90),
    ("igc", "bank", 0.949, 0.85),
    ("igc", "pitch change", 0.965, 0.84),
    ("igc", "heading", 0.922, 1.19),
    ("igc", "wind north", 0.839, 1.27),
    ("igc", "wind east", 0.988, 0.84),
    ("igc", "height change", 0.983, 0.79),
    ("igc", "incidence", 0.937, 1.24),
    ("surveillance", "heading", 0.924, 1.21),
    ("surveillance", "wind north", 0.819, 1.30),
    ("surveillance", "height change", 0.966, 0.78),
    ("surveillance", "incidence", 0.943, 1.18),
    ("surveillance", "ground speed", 0.967, 0.91),
    ("panel", "bank", 0.997, 0.60),
    ("panel", "pitch", 0.791, 2.38),
    ("panel", "heading", 0.849, 1.38),
    ("panel", "heading change", 0.917, 1.15),
    ("panel", "TAS", 0.981, 0.83),
    ("panel", "height change", 0.986, 0.83),
    ("panel", "incidence", 0.782, 2.08),
    ("panel", "sideslip", 0.835, 1.74),
    ("panel", "lateral load", 0.989, 0.70),
    ("panel", "roll rate", 0.980, 0.71),
    ("panel", "pitch rate", 0.966, 0.86),
    ("panel", "yaw rate", 0.960, 0.82),
    ("phone", "bank", 0.996, 0.66),
    // Its error fell with the delay of the fixes mended; sigma, learned on other seeds (1.12 there), did not.
    ("phone", "pitch", 0.986, 0.86),
    ("phone", "pitch change", 0.993, 0.59),
    ("phone", "heading change", 0.992, 0.74),
    ("phone", "TAS", 0.973, 0.81),
    ("phone", "wind north", 0.899, 1.18),
    ("phone", "sideslip", 0.951, 0.75),
    ("phone", "lateral load", 0.999, 0.74),
    ("phone", "pitch rate", 0.972, 0.84),
    ("phone", "yaw rate", 0.976, 0.74),
    ("trainer", "bank", 0.991, 0.75),
    ("trainer", "pitch", 0.829, 1.52),
    ("trainer", "heading change", 0.908, 1.41),
    ("trainer", "load factor", 0.920, 1.12),
    ("trainer", "CAS", 0.998, 0.48),
    ("trainer", "TAS", 0.997, 0.71),
    ("trainer", "incidence", 0.870, 1.30),
    ("trainer", "sideslip", 0.909, 1.19),
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
