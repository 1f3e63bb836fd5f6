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
const SEEDS: std::ops::Range<u64> = 5001..5013;
/// Room for what a change of rounding does to a share and to a ratio.
const ROOM: (f64, f64) = (0.01, 0.03);

/// Recorder, quantity, share inside the band and ratio: what is missed today.
const MISSED: &[(&str, &str, f64, f64)] = &[
    ("satellite-1hz", "pitch change", 0.790, 1.77),
    ("satellite-1hz", "heading", 0.816, 1.88),
    ("satellite-1hz", "CAS", 0.696, 1.83),
    ("satellite-1hz", "TAS", 0.794, 1.52),
    ("satellite-1hz", "wind north", 0.775, 1.51),
    ("satellite-1hz", "wind east", 0.856, 1.32),
    ("satellite-1hz", "height change", 0.991, 0.63),
    ("satellite-1hz", "ground speed", 0.892, 1.24),
    ("satellite-5hz", "pitch change", 0.817, 1.68),
    ("satellite-5hz", "heading", 0.815, 1.88),
    ("satellite-5hz", "CAS", 0.653, 1.95),
    ("satellite-5hz", "TAS", 0.785, 1.67),
    ("satellite-5hz", "wind north", 0.711, 1.64),
    ("satellite-5hz", "wind east", 0.860, 1.43),
    ("satellite-5hz", "height change", 0.994, 0.59),
    ("satellite-5hz", "ground speed", 0.853, 1.36),
    ("igc", "pitch change", 0.679, 2.00),
    ("igc", "heading", 0.835, 1.75),
    ("igc", "load factor", 0.816, 1.92),
    ("igc", "CAS", 0.827, 1.46),
    ("igc", "TAS", 0.886, 1.24),
    ("igc", "wind north", 0.895, 1.29),
    ("igc", "wind east", 0.843, 1.27),
    ("igc", "height change", 0.999, 0.59),
    ("igc", "ground speed", 0.978, 0.82),
    ("surveillance", "bank", 0.902, 1.21),
    ("surveillance", "pitch", 0.904, 1.17),
    ("surveillance", "pitch change", 0.639, 2.17),
    ("surveillance", "heading", 0.843, 1.61),
    ("surveillance", "load factor", 0.830, 1.64),
    ("surveillance", "CAS", 0.855, 1.35),
    ("surveillance", "TAS", 0.899, 1.20),
    ("surveillance", "wind north", 0.881, 1.16),
    ("surveillance", "height change", 0.979, 0.69),
    ("surveillance", "ground speed", 0.971, 0.90),
    ("panel", "pitch", 0.679, 2.19),
    ("panel", "pitch change", 0.845, 1.49),
    ("panel", "heading", 0.808, 1.97),
    ("panel", "CAS", 0.852, 1.59),
    ("panel", "TAS", 0.644, 3.92),
    ("panel", "wind north", 0.650, 3.90),
    ("panel", "wind east", 0.681, 3.52),
    ("panel", "height change", 0.991, 0.63),
    ("panel", "ground speed", 0.893, 1.23),
    ("phone", "bank", 0.865, 1.40),
    ("phone", "pitch change", 0.703, 1.87),
    ("phone", "heading", 0.559, 3.03),
    ("phone", "load factor", 0.811, 1.80),
    ("phone", "CAS", 0.806, 1.51),
    ("phone", "TAS", 0.904, 1.18),
    ("phone", "wind north", 0.905, 1.16),
    ("phone", "height change", 0.992, 0.68),
    ("phone", "ground speed", 0.392, 5.71),
];

/// Recorders that give no motion yet.
const REFUSED: &[&str] = &["trainer"];

fn lessons() -> &'static [(Lesson, Flight)] {
    static FLOWN: OnceLock<Vec<(Lesson, Flight)>> = OnceLock::new();
    FLOWN.get_or_init(|| {
        let fly = |seed| {
            let lesson = Lesson::draw(seed);
            let flight = lesson.fly()?;
            Some((lesson, flight))
        };
        let flown: Vec<_> = SEEDS.filter_map(fly).collect();
        assert!(flown.len() >= 11, "drawn airplanes fly");
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
