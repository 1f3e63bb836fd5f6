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
    ("satellite-1hz", "pitch change", 0.850, 1.43),
    ("satellite-1hz", "heading", 0.813, 2.04),
    ("satellite-1hz", "CAS", 0.633, 2.14),
    ("satellite-1hz", "TAS", 0.730, 1.94),
    ("satellite-1hz", "wind north", 0.729, 1.94),
    ("satellite-1hz", "wind east", 0.788, 1.85),
    ("satellite-1hz", "height change", 0.994, 0.66),
    ("satellite-1hz", "ground speed", 0.888, 1.25),
    ("satellite-5hz", "pitch change", 0.860, 1.39),
    ("satellite-5hz", "heading", 0.813, 2.01),
    ("satellite-5hz", "CAS", 0.602, 2.21),
    ("satellite-5hz", "TAS", 0.724, 2.02),
    ("satellite-5hz", "wind north", 0.681, 1.97),
    ("satellite-5hz", "wind east", 0.798, 1.87),
    ("satellite-5hz", "height change", 0.993, 0.62),
    ("satellite-5hz", "ground speed", 0.858, 1.35),
    ("igc", "pitch change", 0.783, 1.64),
    ("igc", "heading", 0.822, 1.96),
    ("igc", "load factor", 0.814, 1.94),
    ("igc", "CAS", 0.769, 1.72),
    ("igc", "TAS", 0.822, 1.57),
    ("igc", "wind north", 0.812, 1.69),
    ("igc", "wind east", 0.852, 1.61),
    ("igc", "height change", 0.995, 0.70),
    ("igc", "ground speed", 0.977, 0.83),
    ("surveillance", "bank", 0.888, 1.33),
    ("surveillance", "pitch", 0.882, 1.28),
    ("surveillance", "pitch change", 0.735, 1.80),
    ("surveillance", "heading", 0.822, 2.01),
    ("surveillance", "load factor", 0.828, 1.67),
    ("surveillance", "CAS", 0.765, 1.80),
    ("surveillance", "TAS", 0.794, 1.72),
    ("surveillance", "wind north", 0.769, 1.93),
    ("surveillance", "wind east", 0.831, 1.62),
    ("surveillance", "ground speed", 0.966, 0.91),
    ("panel", "bank", 0.892, 1.22),
    ("panel", "pitch", 0.666, 2.31),
    ("panel", "pitch change", 0.904, 1.10),
    ("panel", "heading", 0.796, 2.04),
    ("panel", "CAS", 0.840, 1.63),
    ("panel", "TAS", 0.636, 4.00),
    ("panel", "wind north", 0.634, 4.18),
    ("panel", "wind east", 0.660, 3.67),
    ("panel", "height change", 0.993, 0.66),
    ("panel", "ground speed", 0.891, 1.23),
    ("phone", "bank", 0.849, 1.44),
    ("phone", "pitch change", 0.802, 1.55),
    ("phone", "heading", 0.509, 3.14),
    ("phone", "load factor", 0.805, 1.82),
    ("phone", "CAS", 0.815, 1.48),
    ("phone", "TAS", 0.894, 1.22),
    ("phone", "wind north", 0.892, 1.16),
    ("phone", "ground speed", 0.388, 5.78),
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
