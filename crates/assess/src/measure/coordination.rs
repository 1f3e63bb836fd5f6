//! Coordination where a sensor shows it: the ball and the sideslip; and how closely height and speed are kept.

use std::ops::RangeInclusive;

use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use crate::trace::{Line, MOUNTED_G, STEP_S, smooth};
use base::numerics::statistics::median;
use maneuver::standard::{Measured, MeasuredAt};

/// A ball that is out is one that stays out: the mean over so long to each side, s (common practice, no source).
const BALL_S: f64 = 1.5;
/// What a recorded ball tells besides of the mean over [`BALL_S`]: engine, air and the step of the sensor, g.
const HEARD_SIGMA_G: f64 = 0.006;

/// The ball at the places of a part, damped as it is in its fluid. Where it was recorded it is taken as it was: a reconstruction
/// weighs it against the slip that is usual, and tells less of it than there was.
pub(crate) fn ball(part: &Part<'_>) -> Option<Vec<Estimate>> {
    let mut ball = match &part.trace.ball_heard_g {
        Some(heard) => {
            let values = smooth(&heard[part.all()], (BALL_S / STEP_S) as usize);
            values.iter().map(|&value| Estimate { value, sigma: HEARD_SIGMA_G }).collect()
        }
        None => part.trace.lateral_load_g.as_ref().map(|line| damped(part, line))?,
    };
    for (index, one) in part.all().zip(&mut ball) {
        let load = part.trace.load_factor.as_ref().map_or(1.0, |line| line.value[index].abs());
        one.sigma = base::math::hypot(one.sigma, MOUNTED_G * load);
    }
    Some(ball)
}

fn damped(part: &Part<'_>, line: &Line) -> Vec<Estimate> {
    let places = part.all();
    let values = smooth(&line.value[places.clone()], (BALL_S / STEP_S) as usize);
    let sigmas = &line.sigma[places];
    values.iter().zip(sigmas).map(|(&value, &sigma)| Estimate { value, sigma }).collect()
}

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    let ball = ball(part);
    let slip = part.trace.sideslip_deg.as_ref().map(|line| damped(part, line));
    let mean = |values: &Vec<Estimate>| {
        let n = values.len().max(1) as f64;
        let value = values.iter().map(|one| one.value).sum::<f64>() / n;
        let sigma = values.iter().map(|one| one.sigma).sum::<f64>() / n;
        Estimate { value: part.sign() * value, sigma }
    };
    let most = |values: &Vec<Estimate>| {
        let size = |one: &Estimate| one.value.abs();
        values
            .iter()
            .max_by(|a, b| size(a).total_cmp(&size(b)))
            .map(|one| Estimate { value: size(one), sigma: one.sigma })
    };
    let add = |key, quantity, place, estimate| Measure { key, quantity, place, estimate };
    let (load, slipped) = (Measured::LateralLoadG, Measured::SideslipDeg);
    let mut out = vec![
        add("lateral_load_mean_into_turn_g", load, MeasuredAt::End, ball.as_ref().map(mean)),
        add("lateral_load_greatest_g", load, MeasuredAt::Greatest, ball.as_ref().and_then(most)),
        add("sideslip_mean_into_turn_deg", slipped, MeasuredAt::End, slip.as_ref().map(mean)),
        add("sideslip_greatest_deg", slipped, MeasuredAt::Greatest, slip.as_ref().and_then(most)),
    ];
    out.extend(kept(part));
    out
}

/// Where a speed is meant to be kept: all of a part, but of slow flight what is flown slow, not the slowing down to it.
fn kept_at(part: &Part<'_>) -> RangeInclusive<usize> {
    /// Slow is within this of the usual airspeed of the part, kt (our judgement, no source).
    const SLOW_KT: f64 = 7.0;
    /// A speed that changes by less than this in this time is settled (our judgement, no source).
    const SETTLED_KT: f64 = 1.5;
    const SETTLED_S: f64 = 3.0;
    if part.maneuver != "slow-flight" {
        return part.all();
    }
    let speeds: Vec<f64> = part.all().map(|i| part.indicated(i).value).collect();
    let Some(usual) = median(&speeds) else { return part.all() };
    let speed = |i: usize| part.indicated(i).value;
    // On its way to the usual speed, or away from it, it is not kept yet.
    let kept = |i: &usize, far: Option<usize>| {
        let moves = far.is_some_and(|far| speed(*i) - speed(far) > SETTLED_KT);
        speed(*i) <= usual + SLOW_KT && (speed(*i) <= usual || !moves)
    };
    let later = |i: usize| (i..=part.end).find(|j| part.time_s(*j) >= part.time_s(i) + SETTLED_S);
    let earlier =
        |i: usize| (part.start..=i).rev().find(|j| part.time_s(*j) <= part.time_s(i) - SETTLED_S);
    let first = part.all().find(|i| kept(i, later(*i)));
    let last = part.all().rev().find(|i| kept(i, earlier(*i)));
    first.unwrap_or(part.start)..=last.unwrap_or(part.end)
}

/// How far height and speed spread over the part.
fn kept(part: &Part<'_>) -> Vec<Measure> {
    let spread = |of: &dyn Fn(usize) -> Estimate| {
        let greatest = Part::extreme(kept_at(part), 1.0, of)?;
        let least = Part::extreme(kept_at(part), -1.0, of)?;
        // Both ends have their error; that of the change since the start is shared by both in part.
        let sigma = base::math::hypot(greatest.1.sigma, least.1.sigma)
            .min(2.0 * greatest.1.sigma.max(least.1.sigma));
        Some(Estimate { value: greatest.1.value - least.1.value, sigma })
    };
    let add = |key, quantity, estimate| Measure {
        key,
        quantity,
        place: MeasuredAt::Throughout,
        estimate,
    };
    vec![
        add("height_spread_ft", Measured::HeightChangeFt, spread(&|i| part.height_change(i))),
        add("airspeed_spread_kt", Measured::AirspeedSpreadKt, spread(&|i| part.airspeed_change(i))),
    ]
}
