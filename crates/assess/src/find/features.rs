//! What a stretch of turning looks like: a few numbers, read in degrees of turn and not in seconds, so that a slow figure
//! and a quick one of the same shape look the same.

mod pivotal;
mod round;

use super::lobe::Lobe;
use crate::trace::{STEP_S, Trace};
use base::math::ln;
use base::numerics::statistics::quantile;

/// Number of features.
pub(super) const N: usize = 12;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(dead_code, reason = "every place of the arrays has its name; the evidence tells some")]
pub(super) enum Feature {
    /// Degrees turned from the first movement to a second after wings level.
    Turn,
    /// Steepest bank (the 95 % point), degrees.
    BankPeak,
    /// Mean bank over 18 to 32 % of the turn, as a share of the steepest: about the 45-degree point of a half turn.
    BankEarly,
    /// Mean bank over 68 to 82 % of the turn, as a share of the steepest.
    BankLate,
    /// Mean path angle over the first half of the turn, degrees.
    PathFirst,
    /// Mean path angle over the second half of the turn, degrees.
    PathSecond,
    /// Least calibrated airspeed as a share of that at the start.
    SpeedLeast,
    /// Calibrated airspeed at the end as a share of that at the start.
    SpeedEnd,
    /// Spread of the bank over the middle of the turn as a share of its mean.
    Unsteadiness,
    /// How much rounder the way over the ground is than the way through the air: logarithm of the ratio of their departures from
    /// the best circle. Below nil for a figure about a place on the ground, above for a turn that drifts with the wind.
    Roundness,
    /// Logarithm of the mean rate of turn over the middle as a share of three degrees a second.
    Rate,
    /// Height gained for each foot that the pivotal height rises over the middle: one about a pylon, nil where the height is held
    /// against the wind, half a foot lost where height is bought with speed.
    Pivotal,
}

/// Values of the features and how well the recording knows them.
#[derive(Debug, Clone, Copy)]
pub(super) struct Features {
    pub(super) value: [f64; N],
    pub(super) sigma: [f64; N],
}

impl Features {
    pub(super) fn get(&self, feature: Feature) -> f64 {
        self.value[feature as usize]
    }
    /// Reads the features of a lobe. Linear in its length.
    pub(super) fn of(trace: &Trace, lobe: &Lobe) -> Self {
        let sign = lobe.direction.sign();
        let second = (1.0 / STEP_S) as usize;
        let end = (lobe.last + second).min(trace.len() - 1);
        let heading = &trace.heading_deg.value;
        let turn = (sign * (heading[end] - heading[lobe.start])).max(1.0);
        let share = |i: usize| sign * (heading[i] - heading[lobe.start]) / turn;
        let over = |low: f64, high: f64, of: &dyn Fn(usize) -> f64| -> Vec<f64> {
            let inside = |i: &usize| (low..high).contains(&share(*i));
            (lobe.start..=end).filter(inside).map(of).collect()
        };
        let bank = |i: usize| sign * trace.bank_deg.value[i];
        let all: Vec<f64> = (lobe.first..=lobe.last).map(bank).collect();
        let peak = quantile(&all, 0.95).unwrap_or(0.0).max(1.0);
        let path = |i: usize| trace.path_deg.value[i];
        let speed = &trace.cas_kt.value;
        let entry = speed[lobe.start].max(1.0);
        let least = (lobe.start..=end).map(|i| speed[i]).fold(f64::INFINITY, f64::min);
        let middle = over(0.15, 0.85, &bank);
        let (roundness, roundness_sigma) = round::roundness(trace, lobe.start..=end, sign);
        let inside = |i: &usize| (0.15..0.85).contains(&share(*i));
        let (pivotal, pivotal_sigma) = pivotal::slope(trace, (lobe.start..=end).filter(inside));
        let value = [
            turn,
            peak,
            mean(&over(0.18, 0.32, &bank)) / peak,
            mean(&over(0.68, 0.82, &bank)) / peak,
            mean_over_turn(trace, lobe.start, end, sign, &|i| share(i) < 0.5, &path),
            mean_over_turn(trace, lobe.start, end, sign, &|i| share(i) >= 0.5, &path),
            least / entry,
            speed[end] / entry,
            spread(&middle) / mean(&middle).abs().max(1.0),
            roundness,
            rate(trace, lobe.start, end, &share),
            pivotal,
        ];
        let at = (lobe.first + lobe.last) / 2;
        let speed_sigma = trace.cas_kt.sigma[at] / entry;
        let bank_sigma = trace.bank_deg.sigma[at];
        let share_sigma = bank_sigma / peak;
        let sigma = [
            2.0 * trace.heading_deg.sigma[at],
            bank_sigma,
            share_sigma,
            share_sigma,
            trace.path_deg.sigma[at],
            trace.path_deg.sigma[at],
            1.4 * speed_sigma,
            1.4 * speed_sigma,
            share_sigma,
            roundness_sigma,
            0.03,
            pivotal_sigma,
        ];
        Self { value, sigma }
    }
}

/// Mean rate over the middle of a turn, against three degrees a second, as a logarithm.
fn rate(trace: &Trace, from: usize, to: usize, share: &dyn Fn(usize) -> f64) -> f64 {
    const STANDARD_DPS: f64 = 3.0;
    let place = |wanted: f64| (from..=to).find(|&i| share(i) >= wanted).unwrap_or(to);
    let (first, last) = (place(0.15), place(0.85));
    let turned = (trace.heading_deg.value[last] - trace.heading_deg.value[first]).abs();
    let time_s = STEP_S * last.saturating_sub(first).max(1) as f64;
    ln((turned / time_s).max(0.1) / STANDARD_DPS)
}

fn mean(values: &[f64]) -> f64 {
    if values.is_empty() { 0.0 } else { values.iter().sum::<f64>() / values.len() as f64 }
}

fn spread(values: &[f64]) -> f64 {
    let middle = mean(values);
    let squares = values.iter().map(|value| (value - middle) * (value - middle)).sum::<f64>();
    (squares / values.len().max(1) as f64).sqrt()
}

/// Mean weighted by degrees turned: a wait before the turn counts nothing.
fn mean_over_turn(
    trace: &Trace,
    from: usize,
    to: usize,
    sign: f64,
    inside: &dyn Fn(usize) -> bool,
    of: &dyn Fn(usize) -> f64,
) -> f64 {
    let heading = &trace.heading_deg.value;
    let (mut sum, mut weights) = (0.0, 0.0);
    for i in (from.max(1)..=to).filter(|&i| inside(i)) {
        let turned = (sign * (heading[i] - heading[i - 1])).max(0.0);
        sum += turned * of(i);
        weights += turned;
    }
    if weights > 0.0 { sum / weights } else { 0.0 }
}
