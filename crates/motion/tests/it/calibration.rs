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
    ("satellite-1hz", "heading", 0.917, 1.27),
    ("satellite-1hz", "TAS", 0.981, 0.78),
    ("satellite-1hz", "wind east", 0.995, 0.69),
    ("satellite-1hz", "height change", 0.999, 0.49),
    ("satellite-1hz", "incidence", 1.000, 0.84),
    ("satellite-1hz", "roll rate", 0.998, 0.44),
    ("satellite-1hz", "yaw rate", 0.984, 0.56),
    ("satellite-1hz", "ground speed", 0.884, 1.26),
    ("satellite-5hz", "heading", 0.920, 1.27),
    ("satellite-5hz", "CAS", 0.920, 1.16),
    ("satellite-5hz", "TAS", 0.982, 0.78),
    ("satellite-5hz", "wind north", 0.975, 0.84),
    ("satellite-5hz", "wind east", 0.999, 0.67),
    ("satellite-5hz", "height change", 0.995, 0.48),
    ("satellite-5hz", "incidence", 1.000, 0.85),
    ("satellite-5hz", "roll rate", 0.997, 0.43),
    ("satellite-5hz", "pitch rate", 0.927, 1.09),
    ("satellite-5hz", "yaw rate", 0.985, 0.54),
    ("satellite-5hz", "ground speed", 0.883, 1.24),
    ("igc", "heading", 0.910, 1.30),
    ("igc", "load factor", 0.866, 1.50),
    ("igc", "TAS", 0.986, 0.74),
    ("igc", "wind east", 1.000, 0.61),
    ("igc", "height change", 0.992, 0.66),
    ("igc", "incidence", 0.998, 0.80),
    ("igc", "roll rate", 0.996, 0.45),
    ("igc", "pitch rate", 0.895, 1.27),
    ("igc", "yaw rate", 0.988, 0.54),
    ("igc", "ground speed", 0.984, 0.77),
    ("surveillance", "pitch change", 0.900, 1.18),
    ("surveillance", "heading", 0.915, 1.34),
    ("surveillance", "heading change", 0.942, 1.21),
    ("surveillance", "load factor", 0.846, 1.51),
    ("surveillance", "TAS", 0.978, 0.77),
    ("surveillance", "wind east", 1.000, 0.65),
    ("surveillance", "height change", 0.837, 1.41),
    ("surveillance", "incidence", 0.998, 0.82),
    ("surveillance", "roll rate", 0.997, 0.55),
    ("surveillance", "pitch rate", 0.901, 1.29),
    ("surveillance", "yaw rate", 0.986, 0.55),
    ("surveillance", "ground speed", 0.968, 0.90),
    ("panel", "bank", 0.999, 0.53),
    ("panel", "pitch", 0.729, 3.82),
    ("panel", "pitch change", 0.900, 1.17),
    ("panel", "heading", 0.777, 2.12),
    ("panel", "heading change", 0.826, 1.65),
    ("panel", "TAS", 0.851, 1.59),
    ("panel", "wind north", 0.908, 1.17),
    ("panel", "wind east", 0.903, 1.43),
    ("panel", "height change", 1.000, 0.43),
    ("panel", "incidence", 0.736, 3.57),
    ("panel", "sideslip", 0.810, 3.12),
    ("panel", "lateral load", 0.989, 0.68),
    ("panel", "roll rate", 1.000, 0.24),
    ("panel", "pitch rate", 0.995, 0.50),
    ("panel", "yaw rate", 0.998, 0.32),
    ("panel", "ground speed", 0.874, 1.29),
    ("phone", "bank", 0.980, 0.84),
    ("phone", "heading", 0.879, 1.53),
    ("phone", "heading change", 0.905, 1.23),
    ("phone", "load factor", 0.920, 1.17),
    ("phone", "CAS", 0.731, 1.69),
    ("phone", "height change", 0.983, 0.41),
    ("phone", "incidence", 0.994, 0.88),
    ("phone", "sideslip", 0.879, 1.79),
    ("phone", "lateral load", 0.995, 0.74),
    ("phone", "roll rate", 0.947, 1.38),
    ("phone", "pitch rate", 0.973, 0.78),
    ("phone", "yaw rate", 0.994, 0.47),
    ("phone", "ground speed", 0.657, 2.28),
    ("trainer", "bank", 0.978, 0.80),
    ("trainer", "pitch", 0.652, 2.67),
    ("trainer", "pitch change", 0.911, 1.20),
    ("trainer", "heading change", 0.676, 4.16),
    ("trainer", "load factor", 0.701, 2.78),
    ("trainer", "CAS", 0.998, 0.47),
    ("trainer", "TAS", 0.998, 0.72),
    ("trainer", "height change", 0.807, 1.82),
    ("trainer", "incidence", 0.646, 2.61),
    ("trainer", "sideslip", 0.784, 2.82),
    ("trainer", "lateral load", 0.985, 0.78),
    ("trainer", "roll rate", 0.998, 0.38),
    ("trainer", "pitch rate", 0.854, 1.68),
    ("trainer", "yaw rate", 0.996, 0.41),
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
