//! What is held between rollings: headings of straight stretches and banks of turns, as slow flight is flown.

use crate::attempt::Estimate;
use crate::part::Part;
use crate::trace::{STEP_S, smooth};

/// Straight within this bank, and rolling when the smoothed bank changes faster than this.
const STRAIGHT_DEG: f64 = 6.0;
const ROLLING_DPS: f64 = 2.0;
/// A stretch holds something when it lasts so long, s.
const HELD_S: f64 = 5.0;
const SMOOTH_S: f64 = 1.0;

/// A stretch between rollings.
struct Stretch {
    first: usize,
    last: usize,
    /// Mean bank, right positive.
    bank_deg: f64,
}

impl Stretch {
    fn is_straight(&self) -> bool {
        self.bank_deg.abs() <= STRAIGHT_DEG
    }
}

/// Heading against that at the start of each straight stretch, with places.
pub(crate) fn headings(part: &Part<'_>, until: usize) -> Vec<(usize, Estimate)> {
    let heading = &part.trace.heading_deg;
    // Neighboring headings share most of their error.
    let one = |first: usize, i: usize| {
        let value = heading.value[i] - heading.value[first];
        (i, Estimate { value, sigma: part.sigma_of_heading_change(first, i) })
    };
    let straight = stretches(part, until).into_iter().filter(Stretch::is_straight);
    straight
        .flat_map(|stretch| (stretch.first..=stretch.last).map(move |i| one(stretch.first, i)))
        .collect()
}

/// Bank against what is held: nil straight ahead, the mean of the stretch in a turn.
pub(crate) fn banks(part: &Part<'_>) -> Vec<(usize, Estimate)> {
    let bank = &part.trace.bank_deg;
    let of = |stretch: Stretch| {
        let held = if stretch.is_straight() { 0.0 } else { stretch.bank_deg };
        (stretch.first..=stretch.last)
            .map(move |i| (i, Estimate { value: bank.value[i] - held, sigma: bank.sigma[i] }))
    };
    stretches(part, part.end).into_iter().flat_map(of).collect()
}

fn stretches(part: &Part<'_>, until: usize) -> Vec<Stretch> {
    let (first, last) = (part.start, until.max(part.start));
    let bank = &part.trace.bank_deg.value[first..=last];
    let course = smooth(bank, (SMOOTH_S / STEP_S) as usize);
    let steady = |k: usize| {
        let (from, to) = (k.saturating_sub(2), (k + 2).min(course.len() - 1));
        (course[to] - course[from]).abs() <= ROLLING_DPS * STEP_S * (to - from).max(1) as f64
    };
    let long = (HELD_S / STEP_S) as usize;
    let mut out = Vec::new();
    let mut from = None;
    for k in 0..=course.len() {
        let holds = k < course.len() && steady(k);
        match (holds, from) {
            (true, None) => from = Some(k),
            (false, Some(begin)) => {
                if k - begin >= long {
                    let mean = bank[begin..k].iter().sum::<f64>() / (k - begin) as f64;
                    out.push(Stretch { first: first + begin, last: first + k - 1, bank_deg: mean });
                }
                from = None;
            }
            _ => {}
        }
    }
    out
}
