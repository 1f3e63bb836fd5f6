//! Noise of the channels from what is left over, as for the receiver's (see the module `learn` of the crate): each residual over
//! what the fit has left of it. Errors of neighboring samples that are alike make each of them less news.

use base::numerics::block_tridiagonal::Solved;
use base::numerics::statistics::{median, robust_sigma};

use super::assemble::{in_border, in_state};
use super::layout::{SIDESLIP, SIDESLIP_SIGMA};
use super::predict::View;
use crate::sensors::Channel;
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

/// What a round says of a channel.
#[derive(Debug, Clone)]
pub(super) struct Lesson {
    sigma: f64,
    share: f64,
    weights: Vec<f64>,
}

/// Lessons for all channels, in order.
pub(super) fn lessons<const N: usize>(view: &View<'_, N>, solved: &Solved<N>) -> Vec<Lesson> {
    view.scene.channels.iter().map(|channel| lesson(view, solved, channel)).collect()
}

pub(super) fn take(channel: &mut Channel, lesson: Lesson) {
    channel.sigma = lesson.sigma;
    channel.share = lesson.share;
    channel.weights = lesson.weights;
}

fn lesson<const N: usize>(view: &View<'_, N>, solved: &Solved<N>, channel: &Channel) -> Lesson {
    let mut left_over: Vec<(usize, f64, f64)> = Vec::new();
    view.sights(channel, |sight| {
        let (here, n) = in_state::<N>(&sight.here);
        let (next, m) = in_state::<N>(&sight.next);
        let (border, b) = in_border(channel, &sight);
        let variance = variance(solved, sight.knot, (&here[..n], &next[..m], &border[..b]));
        left_over.push((sight.sample, sight.residual, variance));
    });
    let (mut spread, mut count) = (Vec::new(), 0.0);
    for &(sample, residual, variance) in &left_over {
        let weight = channel.weights.get(sample).copied().unwrap_or(1.0) * channel.share;
        let square = channel.sigma * channel.sigma;
        let left = (1.0 - variance * weight / square).clamp(SHARE_LEAST, 1.0);
        spread.push(residual / left.sqrt());
        count += left;
    }
    let Some(found) = robust_sigma(&spread) else {
        return Lesson {
            sigma: channel.sigma,
            share: channel.share,
            weights: channel.weights.clone(),
        };
    };
    let squares = USUAL_COUNT * channel.usual * channel.usual + count * found * found;
    let sigma = (squares / (USUAL_COUNT + count)).sqrt().max(0.1 * channel.usual);
    let mut weights = vec![1.0; channel.weights.len()];
    for &(sample, residual, _) in &left_over {
        let far = residual.abs() / (OUTLIER_SIGMAS * sigma);
        if let Some(weight) = weights.get_mut(sample)
            && far > 1.0
        {
            *weight = 1.0 / (far * far);
        }
    }
    Lesson { sigma, share: share(&left_over, sigma).min(channel.share_most), weights }
}

/// How much of a sample is news: neighbors whose errors are alike by `r` count as `(1 - r) / (1 + r)` of one (a first-order
/// sequence; any text on time series).
fn share(left_over: &[(usize, f64, f64)], sigma: f64) -> f64 {
    let clipped = |residual: f64| residual.clamp(-3.0 * sigma, 3.0 * sigma);
    let middle = median(&left_over.iter().map(|one| one.1).collect::<Vec<_>>()).unwrap_or(0.0);
    let (mut product, mut square, mut pairs) = (0.0, 0.0, 0);
    for pair in left_over.windows(2) {
        if pair[1].0 == pair[0].0 + 1 {
            let (a, b) = (clipped(pair[0].1 - middle), clipped(pair[1].1 - middle));
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

/// What sideslip is usual about each knot, from the sideslips found with their doubt.
pub(super) fn sideslips<const N: usize>(
    time_s: &[f64],
    states: &[[f64; N]],
    solved: &Solved<N>,
) -> Vec<f64> {
    if N <= SIDESLIP {
        return vec![SIDESLIP_SIGMA; time_s.len()];
    }
    let squares: Vec<f64> = states
        .iter()
        .zip(&solved.covariances)
        .map(|(x, p)| x[SIDESLIP] * x[SIDESLIP] + p[SIDESLIP][SIDESLIP])
        .collect();
    let sums = window_sum(time_s, &squares, SLIP_WINDOW_S);
    let counts = window_sum(time_s, &vec![1.0; squares.len()], SLIP_WINDOW_S);
    let usual = SIDESLIP_SIGMA * SIDESLIP_SIGMA;
    let one = |(sum, count): (&f64, &f64)| {
        let found = sum / count;
        ((SLIP_USUAL_COUNT * usual + found) / (SLIP_USUAL_COUNT + 1.0)).max(usual).sqrt()
    };
    sums.iter().zip(&counts).map(one).collect()
}

/// Factors of states of a knot, of the next one, and of unknowns.
type Factors<'a> = (&'a [(usize, f64)], &'a [(usize, f64)], &'a [(usize, f64)]);

/// Variance of a linear function of the states of a knot, the next one, and the unknowns.
pub(crate) fn variance<const N: usize>(
    solved: &Solved<N>,
    k: usize,
    (here, next, border): Factors<'_>,
) -> f64 {
    let width = solved.border.len();
    let mut total = 0.0;
    for &(i, a) in here {
        for &(j, b) in here {
            total += a * b * solved.covariances[k][i][j];
        }
        for &(j, b) in next {
            total += 2.0 * a * b * solved.cross[k][i][j];
        }
        for &(g, c) in border {
            total += 2.0 * a * c * solved.with_border[k * width + g][i];
        }
    }
    for &(i, a) in next {
        for &(j, b) in next {
            total += a * b * solved.covariances[k + 1][i][j];
        }
        for &(g, c) in border {
            total += 2.0 * a * c * solved.with_border[(k + 1) * width + g][i];
        }
    }
    for &(g, c) in border {
        for &(h, d) in border {
            total += c * d * solved.border_covariance[g * width + h];
        }
    }
    total.max(0.0)
}
