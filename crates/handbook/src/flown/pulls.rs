//! What pulls in a stretch: throttle open, closed, or in between. Told by the speed of rotation of fixed blades where it is recorded; else
//! by the thrust asked for: full throttle is where the flight's greatest thrust is, again and again.

use base::factors::MPS_PER_KT;
use base::numerics::statistics::quantile;

use super::stretches::Found;
use super::update::stretch_s;
use crate::model::Model;

/// What pulls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Throttle open.
    Full,
    /// Throttle closed.
    Idle,
    /// In between, fixed blades turning at a recorded and nearly steady speed.
    Turning,
    /// In between or not known: says nothing.
    Unknown,
}

/// Speed of rotation at full throttle rises with airspeed, share for each knot: torque falls little, so that blades unloaded by speed turn
/// faster (measured on no check flight; common practice for fixed-pitch singles: some 2,300 rpm standing, 2,700 at 115 kt).
const ROTATION_PER_KT: f64 = 0.0016;
/// Speeds of rotation within this share of the flight's greatest line are those of full throttle.
const FULL_WITHIN: f64 = 0.014;
/// A closed throttle turns the blades at no more than this share of the greatest line.
const IDLE_SHARE: f64 = 0.45;
/// Blades that turn slower than this share of it make no thrust that the line of thrust over advance ratio can say.
const TURNING_SHARE: f64 = 0.7;
/// Change of the speed of rotation within a stretch that still is steady, as a share.
const STEADY: f64 = 0.06;
/// Governed speed of rotation is kept above this share of the greatest.
const GOVERNED: f64 = 0.985;
/// Thrust within so much of the top cluster is of full throttle.
const CLUSTER: f64 = 0.075;
/// Thrust within so much of full thrust about that of the idling propeller is of a closed throttle.
const IDLE_WITHIN: f64 = 0.06;
/// Share of all stretches that may ask for more than full thrust, by noise.
const ABOVE: f64 = 0.02;
/// Within so many seconds of another one: a setting is held for longer than one stretch.
const NEIGHBOR_S: f64 = 17.0;

/// What pulls in each stretch of one flight, by the airplane of the figures at its mass, kg.
#[must_use]
pub fn classify(model: &Model<'_>, mass_kg: f64, found: &[Found]) -> Vec<Engine> {
    let recorded = !found.is_empty() && found.iter().all(|one| one.rotation().is_some());
    let mut out = if recorded && !model.frame.constant_speed {
        by_rotation(found)
    } else {
        by_thrust(model, mass_kg, found, recorded)
    };
    alone(found, &mut out, Engine::Full);
    alone(found, &mut out, Engine::Idle);
    out
}

/// A setting that is seen in one stretch alone, or in those alone that share seconds with it, is not believed.
fn alone(found: &[Found], out: &mut [Engine], engine: Engine) {
    let near = |i: usize, j: usize| {
        (stretch_s()..NEIGHBOR_S).contains(&(found[i].start_s - found[j].start_s).abs())
    };
    let lonely: Vec<usize> = (0..out.len())
        .filter(|i| out[*i] == engine)
        .filter(|i| !(0..out.len()).any(|j| j != *i && out[j] == engine && near(*i, j)))
        .collect();
    for i in lonely {
        out[i] = Engine::Unknown;
    }
}

/// Share of the greatest line that every moment turns at, and the mean of it.
fn by_rotation(found: &[Found]) -> Vec<Engine> {
    let reduced = |one: &Found| {
        let (mean, range) = one.rotation().expect("every stretch has it");
        let speed = one.middle().true_mps / MPS_PER_KT;
        (mean / (1.0 + ROTATION_PER_KT * (speed - 90.0)), range / mean)
    };
    let all: Vec<(f64, f64)> = found.iter().map(reduced).collect();
    let means: Vec<f64> = all.iter().map(|one| one.0).collect();
    let top = quantile(&means, 1.0 - ABOVE).expect("there are stretches");
    // The middle of those near the top: the top one is high by noise.
    let near: Vec<f64> =
        means.iter().copied().filter(|v| (v / top - 1.0).abs() < 2.0 * FULL_WITHIN).collect();
    let top = base::numerics::statistics::median(&near).unwrap_or(top);
    let one = |&(mean, range): &(f64, f64)| match mean / top {
        share if (share - 1.0).abs() < FULL_WITHIN + 0.01 && range < STEADY => Engine::Full,
        share if share < IDLE_SHARE && range < 2.0 * STEADY => Engine::Idle,
        share if share > TURNING_SHARE && range < STEADY => Engine::Turning,
        _ => Engine::Unknown,
    };
    all.iter().map(one).collect()
}

fn by_thrust(model: &Model<'_>, mass_kg: f64, found: &[Found], recorded: bool) -> Vec<Engine> {
    let share = |one: &Found| model.thrust_share(one.middle(), mass_kg, one.excess_mps);
    let shares: Vec<f64> = found.iter().map(share).collect();
    let turns: Vec<f64> =
        found.iter().filter_map(Found::rotation).map(|rotation| rotation.0).collect();
    let fastest = quantile(&turns, 0.9).unwrap_or(f64::NAN);
    let governed = |one: &Found| {
        !recorded || one.rotation().is_some_and(|(mean, _)| mean > GOVERNED * fastest)
    };
    let able: Vec<f64> = shares
        .iter()
        .zip(found)
        .filter(|(share, one)| share.is_finite() && governed(one))
        .map(|(share, _)| *share)
        .collect();
    let Some(top) = top_cluster(&able) else { return vec![Engine::Unknown; found.len()] };
    let idle = |one: &Found, share: f64| {
        let slow = !recorded || one.rotation().is_some_and(|(mean, _)| mean < 0.8 * fastest);
        slow && (share - model.idle_share(one.middle())).abs() < IDLE_WITHIN
    };
    let one = |(share, one): (&f64, &Found)| match share {
        share if (share / top - 1.0).abs() < CLUSTER && governed(one) => Engine::Full,
        share if idle(one, *share) => Engine::Idle,
        _ => Engine::Unknown,
    };
    shares.iter().zip(found).map(one).collect()
}

/// Middle of the uppermost cluster of shares of thrust: the place with most within [`CLUSTER`] among those with hardly any above.
fn top_cluster(shares: &[f64]) -> Option<f64> {
    const LEAST: usize = 8;
    let within =
        |center: f64| shares.iter().filter(|share| (*share / center - 1.0).abs() < CLUSTER).count();
    let above = |center: f64| {
        shares.iter().filter(|share| **share > center * (1.0 + CLUSTER)).count() as f64
    };
    let highest = quantile(shares, 1.0 - ABOVE)?;
    let low = 0.85 * highest;
    let centers = (0..=40).map(|i| low + (highest - low) * f64::from(i) / 40.0);
    let allowed = (ABOVE * shares.len() as f64).ceil() + 1.0;
    let best = centers
        .filter(|center| *center > 0.3 && above(*center) <= allowed)
        .max_by_key(|center| within(*center))?;
    (within(best) >= LEAST).then_some(best)
}
