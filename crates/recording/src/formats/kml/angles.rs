//! Angles of a track: heading, tilt and roll. The standard counts tilt and roll clockwise about the axes to the right and
//! ahead, which writers read in two ways; the turns and climbs of the track decide, or the angles are left out.

use super::collect::Track;
use crate::normal::assemble::{Draft, course_rad, distance_m};
use crate::normal::{Fix, NoteKind, QuantityKind, Series};
use base::factors::RAD_PER_DEG;
use base::math;

/// Fewer comparisons than this decide nothing.
const PAIRS_LEAST: usize = 20;
/// Share of them that must agree.
const AGREE_LEAST: f64 = 0.75;
/// A turn worth comparing with a bank, deg/s, and a climb worth comparing with a pitch, m/s.
const TURN_LEAST_DEGPS: f64 = 2.0;
const CLIMB_LEAST_MPS: f64 = 2.0;

/// Series of the angles of a track whose fixes are in the draft already.
pub(super) fn put(track: &Track, draft: &mut Draft) {
    let samples: Vec<(f64, [f64; 3])> = track
        .times
        .iter()
        .zip(&track.angles)
        .filter_map(|((time_s, _), angles)| Some((*time_s, (*angles)?)))
        .filter(|(_, angles)| angles.iter().all(|angle| angle.is_finite()))
        .collect();
    let filled = |axis: usize| samples.iter().any(|(_, angles)| angles[axis] != 0.0);
    if !(0..3).any(filled) {
        return;
    }
    if filled(0) {
        push(QuantityKind::TrueHeadingDeg, "angles, heading", &samples, 0, 1.0, draft);
    }
    let rates = rates(&draft.fixes);
    let wanted = [
        (1, QuantityKind::PitchDeg, "angles, tilt", CLIMB_LEAST_MPS),
        (2, QuantityKind::BankDeg, "angles, roll", TURN_LEAST_DEGPS),
    ];
    for (axis, quantity, origin, least) in wanted {
        if !filled(axis) {
            continue;
        }
        let rate = |of: &(f64, f64, f64)| if axis == 1 { of.2 } else { of.1 };
        match sign(&samples, axis, rates.iter().map(|of| (of.0, rate(of))), least) {
            Some(sign) => {
                let way = if sign > 0.0 { "up and right" } else { "down and left" };
                let text = format!("{origin} counts {way} as positive: it fits the track");
                draft.note(NoteKind::Assumed, text);
                push(quantity, origin, &samples, axis, sign, draft);
            }
            None => draft.note(
                NoteKind::LeftOut,
                format!("{origin}: the track does not say which way it counts; not read"),
            ),
        }
    }
}

fn push(
    quantity: QuantityKind,
    origin: &str,
    samples: &[(f64, [f64; 3])],
    axis: usize,
    sign: f64,
    draft: &mut Draft,
) {
    let (times_s, values): (Vec<f64>, Vec<f64>) =
        samples.iter().map(|(time_s, angles)| (*time_s, sign * angles[axis])).unzip();
    match draft.series.iter_mut().find(|series| series.quantity == quantity) {
        // a further piece of the same track
        Some(series) if series.origin == origin => {
            series.times_s.extend(times_s);
            series.values.extend(values);
        }
        Some(_) => {}
        None => draft.series.push(Series { quantity, origin: origin.into(), times_s, values }),
    }
}

/// Time, turn deg/s and climb m/s at the middle of each step.
fn rates(fixes: &[(Fix, u64)]) -> Vec<(f64, f64, f64)> {
    fixes
        .windows(3)
        .filter_map(|three| {
            let [a, b, c] = [&three[0].0, &three[1].0, &three[2].0];
            let step_s = c.time_s - a.time_s;
            let moving = distance_m(a, b) > 5.0 && distance_m(b, c) > 5.0;
            let turn =
                math::wrap_pi(course_rad(b, c) - course_rad(a, b)) / RAD_PER_DEG / (0.5 * step_s);
            let climb = c.height_m.zip(a.height_m).map_or(0.0, |(c, a)| (c - a) / step_s);
            (moving && step_s > 0.0 && step_s < 20.0).then_some((b.time_s, turn, climb))
        })
        .collect()
}

/// Which sign makes the angle go with the rate, if clear.
fn sign(
    samples: &[(f64, [f64; 3])],
    axis: usize,
    rates: impl Iterator<Item = (f64, f64)>,
    least: f64,
) -> Option<f64> {
    let (mut with, mut against) = (0usize, 0usize);
    for (time_s, rate) in rates.filter(|(_, rate)| rate.abs() > least) {
        let at = samples.partition_point(|(at, _)| *at < time_s);
        let Some((_, angles)) = samples.get(at) else { continue };
        match angles[axis] * rate {
            product if product > 0.0 => with += 1,
            product if product < 0.0 => against += 1,
            _ => {}
        }
    }
    let all = with + against;
    if all < PAIRS_LEAST || (with.max(against) as f64) < AGREE_LEAST * all as f64 {
        return None;
    }
    Some(if with > against { 1.0 } else { -1.0 })
}
