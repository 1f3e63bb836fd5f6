//! Stalls: the break, how far the nose falls, the height lost, the speed at the break; and the level-off after a figure.

use std::ops::RangeInclusive;

use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use crate::trace::STEP_S;
use maneuver::standard::{Measured, MeasuredAt};

/// Figures with a break.
const STALLS: [&str; 3] = ["power-off-stall", "power-on-stall", "accelerated-stall"];
/// The nose has fallen by then, s after the break.
const FALLEN_S: f64 = 5.0;
/// A recovery and a level-off are over by then, s.
const RECOVERED_S: f64 = 20.0;

/// Where the stall breaks: the lowest airspeed of the figure, which the recovery ends.
pub(crate) fn break_at(part: &Part<'_>) -> usize {
    let airspeed = |i: usize| part.airspeed_change(i);
    Part::extreme(part.all(), -1.0, airspeed).map_or(part.end, |(index, _)| index)
}

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    let mut out = vec![Measure {
        key: "height_lost_level_off_ft",
        quantity: Measured::HeightLostFt,
        place: MeasuredAt::LevelOff,
        estimate: level_off(part),
    }];
    if !STALLS.contains(&part.maneuver) {
        return out;
    }
    let broken = break_at(part);
    let add = |key, quantity, place, estimate| Measure { key, quantity, place, estimate };
    out.push(add(
        "height_lost_stall_ft",
        Measured::HeightLostFt,
        MeasuredAt::End,
        lost(part, broken, after(part, broken, RECOVERED_S)),
    ));
    out.push(add("nose_fallen_deg", Measured::PitchDeg, MeasuredAt::End, fallen(part, broken)));
    out.push(add(
        "airspeed_over_stall_at_break_kt",
        Measured::AirspeedOverStallKt,
        MeasuredAt::BeforeBreak,
        part.over_stall(broken, 1.0),
    ));
    out
}

/// Height lost between the highest moment around the end and the lowest soon after: where exactly the end is does not matter.
fn level_off(part: &Part<'_>) -> Option<Estimate> {
    const AROUND_S: f64 = 2.0;
    const SOON_S: f64 = 12.0;
    let from = part.end.saturating_sub((AROUND_S / STEP_S) as usize).max(part.start);
    let height = |i: usize| part.height_between(from, i);
    let near = after(part, from, 3.0 * AROUND_S);
    let (highest, _) = Part::extreme(near, 1.0, height)?;
    let usable = &part.trace.usable;
    let later = after(part, highest, SOON_S).take_while(|&i| usable[i]);
    let (at, lowest) = Part::extreme(later, -1.0, |i| part.height_between(highest, i))?;
    // Still going down where the looking ends, it depends on when that is.
    let sigma = base::math::hypot(lowest.sigma, 2.0 * part.height_slope(at));
    Some(Estimate { value: (-lowest.value).max(0.0), sigma })
}

fn after(part: &Part<'_>, from: usize, for_s: f64) -> RangeInclusive<usize> {
    from..=(from + (for_s / STEP_S) as usize).min(part.trace.len() - 1)
}

/// Height lost from a place on to the lowest of the places after it, until it is climbed again; nil when none is lost.
fn lost(part: &Part<'_>, from: usize, places: RangeInclusive<usize>) -> Option<Estimate> {
    let usable = &part.trace.usable;
    let (_, lowest) =
        Part::extreme(places.take_while(|&i| usable[i]), -1.0, |i| part.height_between(from, i))?;
    // The place itself is found a little early or late.
    let by_place = part.height_slope(from);
    let sigma = base::math::hypot(lowest.sigma, by_place);
    Some(Estimate { value: (-lowest.value).max(0.0), sigma })
}

/// How far the nose falls from its highest near the break, degrees.
fn fallen(part: &Part<'_>, broken: usize) -> Option<Estimate> {
    part.trace.pitch_change_deg.as_ref()?;
    let pitch =
        |i: usize| part.pitch_change(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
    let before = (FALLEN_S / STEP_S) as usize;
    let near = broken.saturating_sub(before).max(part.start)..=broken;
    let (_, highest) = Part::extreme(near, 1.0, pitch)?;
    let (_, lowest) = Part::extreme(after(part, broken, FALLEN_S), -1.0, pitch)?;
    let sigma = highest.sigma.max(lowest.sigma);
    Some(Estimate { value: highest.value - lowest.value, sigma })
}
