//! What the fixes themselves say of the receiver's noise and of the flying.
//!
//! Both are found as in the evidence procedure of D. MacKay (MACKAY-1992; from memory): a sum of squares
//! over the number of degrees of freedom that stand behind it. A residual is smaller than the noise, since the smoother follows
//! part of it; how much is told by the variance of the fit. A change of acceleration is smaller than the flying's, since the
//! prior holds it back; how much is told by its own variance. To count only one of the two, or neither, moves noise into motion.
//! A second of flying holds too little, and so does a short recording: the one leans on its surroundings, the noise on what is usual.

#[cfg(test)]
mod tests;

use base::math::{exp, ln};
use base::numerics::statistics::robust_sigma;

use crate::smoother::{Driven, Kind, Measured, Noise, window_sum};

/// The usual noise of receivers weighs as much as so many measurements (our judgement, no source).
const NOISE_USUAL_COUNT: f64 = 20.0;
/// Least share of a measurement that is left to its residual.
const SHARE_LEAST: f64 = 0.05;
/// Residuals of more than so many sigmas are weighted down.
const OUTLIER_SIGMAS: f64 = 3.0;
/// Least intensity of jerk, m2/s5: even straight flight is not a ruler.
const JERK_FLOOR: f64 = 0.005;
/// The intensity follows the flying over so many seconds to either side, and over no fewer than so many steps between fixes.
const JERK_WINDOW_S: f64 = 1.0;
const JERK_WINDOW_STEPS: f64 = 0.75;
/// What the flying is like in the surroundings, over so many seconds to either side, weighs as much as so many changes of
/// acceleration. So few leave the flying its heavy tails: a roll-in is believed at once. Windows and weights were chosen on
/// invented flights whose bank is known; only the number of steps on check flights thinned to a fix in two and in five seconds.
const SURROUNDINGS_S: f64 = 15.0;
const SURROUNDINGS_COUNT: f64 = 3.0;
/// For the surroundings themselves the intensity before weighs as much as so many.
const BEFORE_COUNT: f64 = 1.0;

/// Noise of the receiver on an axis: robust spread of the residuals (given with the variance of what was fitted), each over what is
/// left of it after the fit.
pub(crate) fn noise(
    all: &[(f64, f64)],
    measured: &[Measured],
    weights: &[f64],
    before: &Noise,
    usual: &Noise,
) -> Noise {
    let of = |kind: Kind| -> Option<f64> {
        let (sigma, usual) = (before.sigma(kind), usual.sigma(kind));
        let (mut spread, mut count) = (Vec::new(), 0.0);
        for ((m, (residual, variance)), weight) in measured.iter().zip(all).zip(weights) {
            if m.kind == kind {
                let left =
                    (1.0 - variance * weight * m.share / (sigma * sigma)).clamp(SHARE_LEAST, 1.0);
                spread.push(residual / left.sqrt());
                count += left;
            }
        }
        let found = robust_sigma(&spread)?;
        let squares = NOISE_USUAL_COUNT * usual * usual + count * found * found;
        Some((squares / (NOISE_USUAL_COUNT + count)).sqrt())
    };
    Noise {
        position_m: of(Kind::Position).map_or(before.position_m, |sigma| sigma.clamp(0.05, 30.0)),
        velocity_mps: of(Kind::Velocity)
            .map_or(before.velocity_mps, |sigma| sigma.clamp(0.02, 5.0)),
        ..*before
    }
}

/// Slow error of the receiver, m, from how much it was found to change against what was expected: a recorder whose clock creeps
/// against the receiver's has places that creep along the path. Only where velocities are there to tell it from flying.
pub(crate) fn slow_error(driven: &[Driven], axis: usize, before: &Noise, usual: &Noise) -> f64 {
    let (mut squares, mut known) = (0.0, 0.0);
    for one in driven {
        squares += one.slow[axis].min(SLOW_MOST);
        known += one.slow_known[axis];
    }
    let square = before.slow_m * before.slow_m;
    let found = (SLOW_USUAL_COUNT * usual.slow_m * usual.slow_m + squares * square)
        / (SLOW_USUAL_COUNT + known);
    found.sqrt().clamp(0.5 * usual.slow_m, 50.0)
}

/// The usual slow error weighs as much as so many changes of it.
const SLOW_USUAL_COUNT: f64 = 20.0;
/// A change counts for no more than so many times what is expected: a jump is an outlier.
const SLOW_MOST: f64 = 25.0;

/// First guess of the noise of the velocities on an axis, m/s: the lesser of what their third differences show, which flying
/// changes little, and of what stands between them and the differences of the positions. A learner that begins far below takes
/// the noise for flying. `None` for too few.
pub(crate) fn first_velocity_noise(time_s: &[f64], measured: &[Measured]) -> Option<f64> {
    let of = |kind: Kind| -> Vec<(f64, f64)> {
        let chosen = measured.iter().filter(|m| m.kind == kind);
        chosen.map(|m| (time_s[m.knot] + m.after_s, m.value)).collect()
    };
    let (velocities, positions) = (of(Kind::Velocity), of(Kind::Position));
    if velocities.len() < VELOCITIES_LEAST || velocities.len() != positions.len() {
        return None;
    }
    // The squares of 1, 3, 3, 1 add up to 20.
    let third: Vec<f64> = velocities
        .windows(4)
        .map(|v| (v[3].1 - 3.0 * v[2].1 + 3.0 * v[1].1 - v[0].1) / f64::sqrt(20.0))
        .collect();
    // The mean of two velocities has half the variance of one.
    let against: Vec<f64> = velocities
        .windows(2)
        .zip(positions.windows(2))
        .filter(|(v, _)| v[1].0 > v[0].0)
        .map(|(v, p)| {
            let moved = (p[1].1 - p[0].1) / (v[1].0 - v[0].0);
            (moved - 0.5 * (v[0].1 + v[1].1)) * f64::sqrt(2.0)
        })
        .collect();
    let found = robust_sigma(&third)?.min(robust_sigma(&against)?);
    Some(found.clamp(VELOCITY_NOISE.0, VELOCITY_NOISE.1))
}

/// Fewer velocities tell nothing of their noise.
const VELOCITIES_LEAST: usize = 30;
/// Least and greatest first guess of the noise of a velocity, m/s.
const VELOCITY_NOISE: (f64, f64) = (0.05, 3.0);

/// Weights of the measurements: what lies far outside is weighted down, and the more the farther, as if errors had the tails of
/// Student's distribution (LANGE-1989; from memory): a clock that slips puts places far along the path.
pub(crate) fn weights(all: &[(f64, f64)], measured: &[Measured], noise: &Noise) -> Vec<f64> {
    let one = |((residual, _), m): (&(f64, f64), &Measured)| {
        let share = residual.abs() / (OUTLIER_SIGMAS * noise.sigma(m.kind));
        if share > 1.0 { 1.0 / (share * share) } else { 1.0 }
    };
    all.iter().zip(measured).map(one).collect()
}

/// Intensity of jerk over each interval: what the flying is like there, leaning on what it is like in the surroundings. Those
/// are taken by the mean of the logarithm, so that a roll-in or two do not make straight flight restless, and flight in gusts
/// is restless throughout.
pub(crate) fn jerk(time_s: &[f64], driven: &[Driven], before: &[f64], spacing_s: f64) -> Vec<f64> {
    let steps: Vec<f64> = time_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let middles: Vec<f64> = time_s.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
    let half_s = JERK_WINDOW_S.max(JERK_WINDOW_STEPS * spacing_s);
    let over = |of: fn(&Driven) -> f64| {
        let values: Vec<f64> = driven.iter().map(of).collect();
        window_sum(&middles, &values, half_s)
    };
    let (squares, known) = (over(|one| one.square), over(|one| one.known));
    let leaning = |k: usize, on: f64, count: f64| {
        ((count * on + squares[k]) / (count + known[k])).max(JERK_FLOOR)
    };
    // A long step counts for as much as the short ones in its place would.
    let logs: Vec<f64> =
        (0..before.len()).map(|k| steps[k] * ln(leaning(k, before[k], BEFORE_COUNT))).collect();
    let sums = window_sum(&middles, &logs, SURROUNDINGS_S);
    let counts = window_sum(&middles, &steps, SURROUNDINGS_S);
    (0..logs.len()).map(|k| leaning(k, exp(sums[k] / counts[k]), SURROUNDINGS_COUNT)).collect()
}
