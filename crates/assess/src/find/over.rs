//! Loops, rolls and what is made of them: stretches where the airplane is on its back or its nose far up or down, read by how far it
//! has pitched and rolled about its own axes, and in which order.
//!
//! An attitude that was recorded shows them as they were; a path alone shows slow ones. Linear in the length of the recording.

mod aileron_roll;
mod barrel_roll;
mod half_cuban_eight;
mod immelmann;
mod loop_figure;
mod ordinary;
mod split_s;

use super::signature::{Signature, Weighed};
use super::{Claim, FoundPart, Phases, Scene};
use crate::trace::STEP_S;
use base::numerics::statistics::median;
use base::written::signed;
use maneuver::Direction;

/// Number of features.
const N: usize = 4;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Feature {
    /// Degrees rolled, either way.
    Rolled,
    /// Degrees pitched, nose up positive.
    Pitched,
    /// Share of the pitching done when half of the rolling is.
    PitchedFirst,
    /// Nose at the highest, degrees.
    NoseMost,
}

/// How one of these figures tends to look.
type Over = Signature<N>;

/// Everything that competes to explain such a stretch.
const ALL: &[&[Over]] = &[
    aileron_roll::ALL,
    barrel_roll::ALL,
    loop_figure::ALL,
    half_cuban_eight::ALL,
    immelmann::ALL,
    split_s::ALL,
    ordinary::ALL,
];

/// On the back from this bank on; nose far up or down from this pitch on, degrees.
const BACK_FROM_DEG: f64 = 115.0;
const STEEP_FROM_DEG: f64 = 60.0;
/// Two such stretches so close are one figure, s.
const CLOSE_S: f64 = 2.0;
/// Longest look for the begin and for the end, s.
const BEFORE_S: f64 = 9.0;
const AFTER_S: f64 = 12.0;
/// Wings and nose are quiet within these, degrees and degrees a second.
const QUIET_BANK_DEG: f64 = 12.0;
const QUIET_NOSE_DEG: f64 = 7.0;
const QUIET_RATE_DPS: f64 = 4.0;
/// Travel is known so well by a recorded attitude, and so by a path, degrees.
const SIGMA_RECORDED_DEG: f64 = 12.0;
const SIGMA_PATH_DEG: f64 = 45.0;
/// So many times likelier is something ordinary where no attitude was recorded.
const PATH_ALONE: f64 = 10.0;
/// Less is half a roll, degrees.
const HALF_ROLL_MOST_DEG: f64 = 270.0;
/// Two halves of a Cuban eight follow each other within this time, s.
const BETWEEN_HALVES_S: f64 = 12.0;

/// Everything that may be a loop or a roll.
pub(super) fn claims(scene: &Scene<'_>) -> Vec<Claim> {
    let look = Look::new(scene);
    let single = look.stretches().into_iter().filter_map(|(first, last)| claim(&look, first, last));
    joined(single.collect())
}

/// What is looked at.
struct Look<'a> {
    scene: &'a Scene<'a>,
    bank: &'a [f64],
    nose: &'a [f64],
    nose_level: f64,
    sigma: f64,
}

impl<'a> Look<'a> {
    fn new(scene: &'a Scene<'a>) -> Self {
        let trace = scene.trace;
        let recorded = trace.recorded.as_ref();
        let found = &trace.pitch_deg.as_ref().unwrap_or(&trace.path_deg).value;
        let nose = recorded.map_or(found.as_slice(), |recorded| &recorded.pitch_deg);
        let bank = scene.bank_deg();
        let flown = |i: &usize| trace.usable[*i];
        let noses: Vec<f64> = (0..nose.len()).filter(flown).step_by(8).map(|i| nose[i]).collect();
        let sigma = if recorded.is_some() { SIGMA_RECORDED_DEG } else { SIGMA_PATH_DEG };
        Self { scene, bank, nose, nose_level: median(&noses).unwrap_or(0.0), sigma }
    }
    /// Stretches on the back or steep, first and last, close ones as one.
    fn stretches(&self) -> Vec<(usize, usize)> {
        let mut stretches: Vec<(usize, usize)> = Vec::new();
        for i in 0..self.bank.len() {
            let over = self.bank[i].abs() > BACK_FROM_DEG || self.nose[i].abs() > STEEP_FROM_DEG;
            if !(over && self.scene.trace.usable[i]) {
                continue;
            }
            match stretches.last_mut() {
                Some(last) if i <= last.1 + (CLOSE_S / STEP_S) as usize => last.1 = i,
                _ => stretches.push((i, i)),
            }
        }
        stretches
    }
    fn quiet(&self, i: usize) -> bool {
        let (before, after) = (i.saturating_sub(1), (i + 1).min(self.nose.len() - 1));
        let rate = (self.nose[after] - self.nose[before]).abs() / (2.0 * STEP_S);
        self.bank[i].abs() < QUIET_BANK_DEG
            && (self.nose[i] - self.nose_level).abs() < QUIET_NOSE_DEG
            && rate < QUIET_RATE_DPS
    }
}

fn claim(look: &Look<'_>, first: usize, last: usize) -> Option<Claim> {
    let trace = look.scene.trace;
    let steps = |seconds: f64| (seconds / STEP_S) as usize;
    let earliest = first.saturating_sub(steps(BEFORE_S));
    let latest = (last + steps(AFTER_S)).min(trace.len() - 1);
    let start = (earliest..first).rev().find(|&i| look.quiet(i)).unwrap_or(earliest);
    let end = (last..=latest).find(|&i| look.quiet(i)).unwrap_or(latest);
    let (rolled, pitched) = (&trace.rolled_deg.value, &trace.pitched_deg.value);
    let roll = rolled[end] - rolled[start];
    let pitch = pitched[end] - pitched[start];
    let half = (start..=end).find(|&i| (rolled[i] - rolled[start]).abs() >= 0.5 * roll.abs());
    let pitched_first = (pitched[half.unwrap_or(start)] - pitched[start]) / pitch.abs().max(20.0);
    let nose_most = look.nose[start..=end].iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let value = [roll.abs(), pitch, pitched_first, nose_most];
    let sigma = [look.sigma, look.sigma, look.sigma / pitch.abs().max(60.0), 0.2 * look.sigma];
    // A path alone that stands on its back is mostly one with wrong fixes.
    let doubt = if trace.recorded.is_some() { 1.0 } else { PATH_ALONE };
    let likeliest = Weighed::new(ALL, &value, &sigma).ordinary_times(doubt).best()?;
    let shape = maneuver::catalog::find(likeliest.maneuver)?.shape();
    let way = if roll < 0.0 { Direction::Left } else { Direction::Right };
    // Half a roll to the left and half a roll to the right leave the same path.
    let told = trace.recorded.is_some() || roll.abs() > HALF_ROLL_MOST_DEG;
    let part = FoundPart {
        direction: (shape.sided && told).then_some(way),
        progress: shape.progress,
        start,
        end,
        level: end,
        phases: Phases::default(),
    };
    let get = |feature: Feature| value[feature as usize];
    let looks = format!(
        "rolled {:.0}° to the {}, pitched {}° ({:.0} % of it before half of the roll), nose {:.0}° up at the most, in {:.0} s",
        get(Feature::Rolled),
        way.word(),
        signed(get(Feature::Pitched), 0),
        100.0 * get(Feature::PitchedFirst),
        get(Feature::NoseMost),
        STEP_S * (end - start) as f64
    );
    Some(likeliest.claim(looks, vec![part]))
}

/// Two half Cuban eights, one soon after the other, are a Cuban eight.
fn joined(singles: Vec<Claim>) -> Vec<Claim> {
    let mut claims: Vec<Claim> = Vec::new();
    for claim in singles {
        let half = |claim: &Claim| claim.found.maneuver == "half-cuban-eight";
        match claims.last_mut() {
            Some(before)
                if half(before)
                    && half(&claim)
                    && claim.start() <= before.end() + (BETWEEN_HALVES_S / STEP_S) as usize =>
            {
                before.found.maneuver = "cuban-eight";
                before.found.confidence = before.found.confidence.min(claim.found.confidence);
                before.found.evidence.extend(claim.found.evidence);
                before.found.parts.extend(claim.found.parts);
                before.gain += claim.gain;
            }
            _ => claims.push(claim),
        }
    }
    claims
}
