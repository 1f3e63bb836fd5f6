//! Verdicts on drawn lessons: slip, gusts, a wind that changes, other airplanes and hands; by satellites and by the panel.

use assess::debrief::{Debrief, DebriefContext, debrief};
use maneuver::standard::{Standard, bundled};
use motion::{Known, Motion, reconstruct};
use recording::{ReadOptions, Recording};
use synthetic::lesson::{Flight, Lesson};
use synthetic::recorders;

use crate::tally::Tally;

fn judged(recording: Recording, motion: Motion, standard: &Standard) -> Debrief {
    let context = DebriefContext { airplane: None, standard, ground_elevation_m: None };
    debrief(recording, motion, &context)
}

/// Attempts called with a probability, and whether each was right.
#[derive(Default)]
struct Called(Vec<(f64, bool)>);

/// Catalogue key of a figure of a lesson.
fn key(figure: &str) -> String {
    figure.to_lowercase().replace(' ', "-")
}

impl Called {
    /// Right: the figure that was to be flown, most of either inside the other.
    fn add(&mut self, flight: &Flight, zero_s: f64, debrief: &Debrief) {
        for one in &debrief.attempts {
            let (start_s, end_s) = (one.start_s + zero_s, one.end_s + zero_s);
            let right = flight.attempts.iter().any(|flown| {
                let both = flown.end_s.min(end_s) - flown.start_s.max(start_s);
                let either = flown.end_s.max(end_s) - flown.start_s.min(start_s);
                both > 0.4 * either && key(flown.figure) == one.maneuver
            });
            self.0.push((one.confidence, right));
        }
    }
    /// Of those called between two probabilities: how many, their mean probability, how many are right.
    fn between(&self, low: f64, high: f64) -> (usize, f64, usize) {
        let inside: Vec<_> = self.0.iter().filter(|one| low <= one.0 && one.0 < high).collect();
        let mean = inside.iter().map(|one| one.0).sum::<f64>() / inside.len().max(1) as f64;
        (inside.len(), mean, inside.iter().filter(|one| one.1).count())
    }
    fn print(&self) {
        for (low, high) in
            [(0.5, 0.6), (0.6, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 0.97), (0.97, 1.01)]
        {
            let (n, mean, right) = self.between(low, high);
            println!("called {low} to {high}: {n}, {mean:.3} in the mean, {right} right");
        }
    }
}

/// Never a wrong "met" or "not met" more often than 1 in 40.
#[test]
fn prop_verdicts_on_lessons_are_hardly_ever_wrong() {
    const LESSONS: std::ops::Range<u64> = 1..29;
    let standard = bundled::load("faa-commercial").expect("bundled");
    let keys = ["satellite-1hz", "satellite-5hz", "panel"];
    let known: Vec<&recorders::Recorder> =
        recorders::ALL.iter().filter(|one| keys.contains(&one.key)).collect();
    let mut tallies: Vec<Tally> = known.iter().map(|_| Tally::default()).collect();
    let mut called = Called::default();
    assert_eq!(known.len(), keys.len());
    for seed in LESSONS {
        let lesson = Lesson::draw(seed);
        let Some(flight) = lesson.fly() else { continue };
        for (recorder, tally) in known.iter().zip(&mut tallies) {
            let log = (recorder.log)(&lesson, &flight);
            let options = ReadOptions { name: recorder.key.into(), ..ReadOptions::default() };
            let Ok(recording) = recording::read(&log.bytes(), &options) else { continue };
            let Ok(motion) = reconstruct(&recording, &Known::default()) else { continue };
            let right =
                judged(Recording::empty("csv", "truth"), flight.motion(log.zero_s()), &standard);
            let debrief = judged(recording, motion, &standard);
            called.add(&flight, log.zero_s(), &debrief);
            tally.add(&right, &debrief);
        }
    }
    called.print();
    for (recorder, tally) in known.iter().zip(&tallies) {
        tally.print(recorder.key);
        let total = tally.total();
        assert!(total.wrong_share() <= 1.0 / 40.0, "{}: {total:?}", recorder.key);
    }
}
