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
    ("satellite-1hz", "bank", 0.904, 1.16),
    ("satellite-1hz", "pitch change", 0.862, 1.29),
    ("satellite-1hz", "heading", 0.814, 2.18),
    ("satellite-1hz", "heading change", 0.900, 1.66),
    ("satellite-1hz", "CAS", 0.641, 2.19),
    ("satellite-1hz", "TAS", 0.698, 2.10),
    ("satellite-1hz", "wind north", 0.716, 2.08),
    ("satellite-1hz", "wind east", 0.718, 2.14),
    ("satellite-1hz", "height change", 0.996, 0.64),
    ("satellite-1hz", "ground speed", 0.889, 1.26),
    ("satellite-5hz", "bank", 0.890, 1.21),
    ("satellite-5hz", "pitch change", 0.871, 1.25),
    ("satellite-5hz", "heading", 0.817, 2.13),
    ("satellite-5hz", "heading change", 0.910, 1.59),
    ("satellite-5hz", "CAS", 0.607, 2.25),
    ("satellite-5hz", "TAS", 0.704, 2.17),
    ("satellite-5hz", "wind north", 0.715, 2.06),
    ("satellite-5hz", "wind east", 0.738, 2.15),
    ("satellite-5hz", "height change", 0.990, 0.62),
    ("satellite-5hz", "ground speed", 0.862, 1.33),
    ("igc", "pitch change", 0.823, 1.53),
    ("igc", "heading", 0.830, 2.08),
    ("igc", "heading change", 0.898, 1.62),
    ("igc", "load factor", 0.846, 1.63),
    ("igc", "CAS", 0.776, 1.79),
    ("igc", "TAS", 0.813, 1.66),
    ("igc", "wind north", 0.805, 1.80),
    ("igc", "wind east", 0.818, 1.76),
    ("igc", "height change", 0.998, 0.72),
    ("igc", "ground speed", 0.987, 0.75),
    ("surveillance", "bank", 0.884, 1.29),
    ("surveillance", "pitch change", 0.774, 1.65),
    ("surveillance", "heading", 0.819, 2.18),
    ("surveillance", "heading change", 0.889, 1.74),
    ("surveillance", "load factor", 0.852, 1.55),
    ("surveillance", "CAS", 0.714, 1.99),
    ("surveillance", "TAS", 0.722, 1.98),
    ("surveillance", "wind north", 0.720, 2.25),
    ("surveillance", "wind east", 0.776, 1.88),
    ("surveillance", "ground speed", 0.970, 0.90),
    ("panel", "bank", 0.874, 1.28),
    ("panel", "pitch", 0.572, 2.66),
    ("panel", "heading", 0.781, 2.18),
    ("panel", "heading change", 0.897, 1.48),
    ("panel", "CAS", 0.847, 1.53),
    ("panel", "TAS", 0.634, 3.43),
    ("panel", "wind north", 0.563, 4.76),
    ("panel", "wind east", 0.623, 4.32),
    ("panel", "height change", 0.996, 0.63),
    ("panel", "ground speed", 0.891, 1.23),
    ("phone", "bank", 0.866, 1.38),
    ("phone", "pitch", 0.972, 0.84),
    ("phone", "pitch change", 0.858, 1.33),
    ("phone", "heading", 0.521, 3.38),
    ("phone", "heading change", 0.690, 2.12),
    ("phone", "load factor", 0.818, 1.59),
    ("phone", "CAS", 0.784, 1.57),
    ("phone", "TAS", 0.868, 1.33),
    ("phone", "wind north", 0.864, 1.23),
    ("phone", "ground speed", 0.336, 6.46),
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
