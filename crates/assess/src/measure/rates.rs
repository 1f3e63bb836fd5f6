//! How fast it is rolled and pitched, and how smoothly it is held.

use crate::attempt::{Estimate, Measure};
use crate::part::{MIDDLE, Part};
use crate::trace::{Line, STEP_S, smooth};
use maneuver::standard::{Measured, MeasuredAt};

/// What is quicker than this is the hand, what is slower is the figure, s to each side.
const SMOOTH_S: f64 = 2.0;
/// Rates are read over so long to each side, s: a single step tells more of the sensor than of the airplane.
const RATE_S: f64 = 0.5;
/// Fewer places have no course of their own to wander about.
const PLACES_LEAST: usize = 40;

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    let trace = part.trace;
    let roll = rates(part, &trace.bank_deg, trace.roll_rate_dps.as_ref());
    let pitch = trace.pitch_change_deg.as_ref();
    let pitch = pitch.map(|line| rates(part, line, trace.pitch_rate_dps.as_ref()));
    let rate =
        |key, quantity, estimate| Measure { key, quantity, place: MeasuredAt::Greatest, estimate };
    let wander = |key, quantity, estimate| Measure {
        key,
        quantity,
        place: MeasuredAt::Throughout,
        estimate,
    };
    vec![
        rate("roll_rate_greatest_dps", Measured::RollRateDps, largest(&roll)),
        rate("pitch_rate_greatest_dps", Measured::PitchRateDps, pitch.and_then(|p| largest(&p))),
        wander("bank_wander_deg", Measured::BankWanderDeg, about_its_course(part, &trace.bank_deg)),
        wander(
            "load_wander_g",
            Measured::LoadFactorG,
            trace.load_factor.as_ref().and_then(|line| about_its_course(part, line)),
        ),
    ]
}

/// Rates over the part without sign: those of the body where they are known, else differences of the angle.
fn rates(part: &Part<'_>, angle: &Line, rate: Option<&Line>) -> Vec<Estimate> {
    let half = (RATE_S / STEP_S) as usize;
    let last = part.trace.len() - 1;
    let one = |i: usize| match rate {
        Some(line) => Estimate { value: line.value[i].abs(), sigma: line.sigma[i] },
        None => {
            let (from, to) = (i.saturating_sub(half), (i + half).min(last));
            let apart_s = STEP_S * (to - from).max(1) as f64;
            // Neighboring errors are much the same: half of the variance remains in the difference.
            let sigma = angle.sigma[from].max(angle.sigma[to]) / apart_s;
            Estimate { value: (angle.value[to] - angle.value[from]).abs() / apart_s, sigma }
        }
    };
    part.all().map(one).collect()
}

fn largest(values: &[Estimate]) -> Option<Estimate> {
    values.iter().copied().max_by(|a, b| a.value.total_cmp(&b.value))
}

/// Root mean square of a quantity about its own smooth course, in the middle of the part.
fn about_its_course(part: &Part<'_>, line: &Line) -> Option<Estimate> {
    let places = part.between(MIDDLE.0, MIDDLE.1);
    if places.len() < PLACES_LEAST {
        return None;
    }
    let values: Vec<f64> = places.iter().map(|&i| line.value[i]).collect();
    let course = smooth(&values, (SMOOTH_S / STEP_S) as usize);
    let n = values.len() as f64;
    let square: f64 = values.iter().zip(&course).map(|(v, c)| (v - c) * (v - c)).sum();
    let value = (square / n).sqrt();
    // What the reconstruction smooths away is not seen: of the size of a seventh of its sigma (found on invented lessons: most of a sigma is
    // what a slip or a wind shifts for long); and so many places are independent as smoothing windows fit.
    let error: f64 = places.iter().map(|&i| line.sigma[i]).sum::<f64>() / n;
    const OWN_SHARE: f64 = 0.15;
    let windows = (n * STEP_S / (2.0 * SMOOTH_S)).max(1.0);
    let sigma = (value * value / (2.0 * windows) + OWN_SHARE * OWN_SHARE * error * error).sqrt();
    Some(Estimate { value, sigma })
}
