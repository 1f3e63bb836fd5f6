//! Noise of the channels from what is left over, as for the receiver's (see the module `learn` of the crate): each residual over
//! what the fit has left of it. Errors of neighboring samples that are alike make each of them less news.

use base::numerics::block_tridiagonal::{Eliminated, Local};
use base::numerics::statistics::{median, robust_sigma};

use super::Scene;
use super::assemble::{in_border, in_state};
use super::layout::{SIDESLIP, SIDESLIP_SIGMA};
use super::predict::Sight;
use super::window::{View, Window};
use crate::sensors::{Channel, Kind};
use crate::smoother::window_sum;

/// What is usual for the sensor weighs as much as so many samples (our judgement, no source).
const USUAL_COUNT: f64 = 10.0;
const SHARE_LEAST: f64 = 0.05;
/// Samples off by more than so many sigmas are weighted down.
const OUTLIER_SIGMAS: f64 = 3.0;
/// Neighbors are no more alike than this.
const ALIKE_MOST: f64 = 0.95;
/// Fewer pairs of neighbors tell nothing of how alike they are.
const PAIRS_LEAST: usize = 40;

/// Residual of a sample and the variance of what was fitted there.
struct LeftOver {
    sample: usize,
    residual: f64,
    variance: f64,
}

/// Learns noise and weights of the channels, and what sideslip is usual, from the states found and their doubt.
pub(super) fn learn<const N: usize>(
    scene: &mut Scene,
    states: &[[f64; N]],
    eliminated: &Eliminated<N>,
) {
    let (left_over, slips) = look_back(scene, states, eliminated);
    for (channel, left_over) in scene.channels.iter_mut().zip(&left_over) {
        lesson(channel, left_over, scene.slip_by_load);
    }
    scene.feel_gusts();
    let usual_count = if scene.slip_by_load { USUAL_COUNT_BY_LOAD } else { SLIP_USUAL_COUNT };
    scene.slip_sigma = sideslips(&scene.time_s, &slips, usual_count);
}

/// What is left over of every sample of every channel, in order; and the mean square of each knot's sideslip.
fn look_back<const N: usize>(
    scene: &Scene,
    states: &[[f64; N]],
    eliminated: &Eliminated<N>,
) -> (Vec<Vec<LeftOver>>, Vec<f64>) {
    let mut window = Window::default();
    let mut sights: Vec<Vec<Sight>> = vec![Vec::new(); scene.channels.len()];
    let mut left_over: Vec<Vec<LeftOver>> = sights.iter().map(|_| Vec::new()).collect();
    let mut slips = vec![SIDESLIP_SIGMA * SIDESLIP_SIGMA; states.len()];
    eliminated.sweep(|local| {
        let knot = local.knot;
        if !window.holds(knot) {
            window.fill_around(scene, states, knot, false);
            let view = View { scene, states, window: &window };
            for (sights, channel) in sights.iter_mut().zip(&scene.channels) {
                view.sights(channel, |sight| sights.push(sight));
            }
        }
        if N > SIDESLIP {
            let slip = states[knot][SIDESLIP];
            slips[knot] = slip * slip + local.covariance(SIDESLIP, SIDESLIP);
        }
        for ((sights, channel), left) in sights.iter_mut().zip(&scene.channels).zip(&mut left_over)
        {
            while let Some(sight) = sights.pop_if(|sight| sight.knot == knot) {
                let (here, n) = in_state::<N>(&sight.here);
                let (next, m) = in_state::<N>(&sight.next);
                let (border, b) = in_border(channel, &sight);
                let variance = variance(local, (&here[..n], &next[..m], &border[..b]));
                let Sight { sample, residual, .. } = sight;
                left.push(LeftOver { sample, residual, variance });
            }
        }
    });
    for left in &mut left_over {
        left.reverse();
    }
    (left_over, slips)
}

fn lesson(channel: &mut Channel, left_over: &[LeftOver], by_load: bool) {
    let (mut spread, mut count) = (Vec::new(), 0.0);
    for &LeftOver { sample, residual, variance } in left_over {
        let weight = channel.weights.get(sample).copied().unwrap_or(1.0) * channel.share;
        let square = channel.sigma * channel.sigma;
        let left = (1.0 - variance * weight / square).clamp(SHARE_LEAST, 1.0);
        spread.push(residual / left.sqrt());
        count += left;
    }
    let Some(found) = robust_sigma(&spread) else { return };
    let squares = USUAL_COUNT * channel.usual * channel.usual + count * found * found;
    let sigma = (squares / (USUAL_COUNT + count)).sqrt().max(0.1 * channel.usual);
    let mut weights = vec![1.0; channel.weights.len()];
    for &LeftOver { sample, residual, .. } in left_over {
        let far = residual.abs() / (OUTLIER_SIGMAS * sigma);
        if let Some(weight) = weights.get_mut(sample)
            && far > 1.0
        {
            *weight = 1.0 / (far * far);
        }
    }
    channel.sigma = sigma;
    // What is left of a lateral load that was smoothed too much is alike from sample to sample: to believe it the less for that would
    // smooth it the more. An accelerometer's own errors are its bias and its tilt, which are unknowns.
    channel.share = if by_load && channel.kind == Kind::Force(1) {
        channel.share_most
    } else {
        share(left_over, sigma).min(channel.share_most)
    };
    channel.weights = weights;
}

/// How much of a sample is news: neighbors whose errors are alike by `r` count as `(1 - r) / (1 + r)` of one (a first-order
/// sequence; any text on time series).
fn share(left_over: &[LeftOver], sigma: f64) -> f64 {
    let clipped = |residual: f64| residual.clamp(-3.0 * sigma, 3.0 * sigma);
    let middle =
        median(&left_over.iter().map(|one| one.residual).collect::<Vec<_>>()).unwrap_or(0.0);
    let (mut product, mut square, mut pairs) = (0.0, 0.0, 0);
    for pair in left_over.windows(2) {
        if pair[1].sample == pair[0].sample + 1 {
            let (a, b) = (clipped(pair[0].residual - middle), clipped(pair[1].residual - middle));
            product += a * b;
            square += 0.5 * (a * a + b * b);
            pairs += 1;
        }
    }
    if pairs < PAIRS_LEAST || square <= 0.0 {
        return 0.5;
    }
    let alike = (product / square).clamp(0.0, ALIKE_MOST);
    (1.0 - alike) / (1.0 + alike)
}

/// Sideslip is looked at over so many seconds to either side; what is usual weighs as much as so many times what is found.
const SLIP_WINDOW_S: f64 = 3.0;
const SLIP_USUAL_COUNT: f64 = 2.0;
/// The same where a lateral load shows it.
const USUAL_COUNT_BY_LOAD: f64 = 0.5;

/// What sideslip is usual about each knot, from the mean squares of the sideslips found.
fn sideslips(time_s: &[f64], squares: &[f64], usual_count: f64) -> Vec<f64> {
    let sums = window_sum(time_s, squares, SLIP_WINDOW_S);
    let counts = window_sum(time_s, &vec![1.0; squares.len()], SLIP_WINDOW_S);
    let usual = SIDESLIP_SIGMA * SIDESLIP_SIGMA;
    let one = |(sum, count): (&f64, &f64)| {
        let found = sum / count;
        ((usual_count * usual + found) / (usual_count + 1.0)).max(usual).sqrt()
    };
    sums.iter().zip(&counts).map(one).collect()
}

/// Factors of states of a knot, of the next one, and of unknowns.
type Factors<'a> = (&'a [(usize, f64)], &'a [(usize, f64)], &'a [(usize, f64)]);

/// Variance of a linear function of the states of a knot, the next one, and the unknowns.
pub(crate) fn variance<const N: usize>(
    local: &Local<'_, N>,
    (here, next, border): Factors<'_>,
) -> f64 {
    let mut total = 0.0;
    for &(i, a) in here {
        let row = local.covariances(i);
        for &(j, b) in here {
            total += a * b * row[j];
        }
        for &(j, b) in next {
            total += 2.0 * a * b * local.cross(i, j);
        }
        for &(g, c) in border {
            total += 2.0 * a * c * local.with_border(g, i);
        }
    }
    for &(i, a) in next {
        for &(j, b) in next {
            total += a * b * local.next_covariance(i, j);
        }
        for &(g, c) in border {
            total += 2.0 * a * c * local.next_with_border(g, i);
        }
    }
    for &(g, c) in border {
        for &(h, d) in border {
            total += c * d * local.border_covariance(g, h);
        }
    }
    total.max(0.0)
}
