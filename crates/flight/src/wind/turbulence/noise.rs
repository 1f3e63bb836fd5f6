//! White noise through a rational filter, exact at the samples.
//!
//! Time is counted in filter times `T = L/V`, so that noise of unit strength through [`Filter`] gives unit variance (half for
//! the filters along), and the numbers stay near one. The last state but unused ones is the lag of the gust rate.

use base::numerics::random::SplitMix;

/// States of the largest filter with its lag. Unused states stay nil.
const N: usize = 4;
type Matrix = [[f64; N]; N];

/// `(n0 + n1 s + n2 s^2) / (1 + d1 s + d2 s^2 + d3 s^3)`, `s` in filter times.
#[derive(Debug)]
pub(super) struct Filter {
    above: [f64; 3],
    below: &'static [f64],
}

impl Filter {
    /// Source: MIL-F-8785C, 3.7.1.2.
    pub(super) const DRYDEN_ALONG: Self = Self { above: [1.0, 0.0, 0.0], below: &[1.0] };
    /// Source: MIL-F-8785C, 3.7.1.2; the figure is the square root of three.
    pub(super) const DRYDEN_ACROSS: Self =
        Self { above: [1.0, 1.732_050_807_568_877_2, 0.0], below: &[2.0, 1.0] };
    /// Source: LC-1980.
    pub(super) const VON_KARMAN_ALONG: Self =
        Self { above: [1.0, 0.25, 0.0], below: &[1.357, 0.1987] };
    /// Source: LC-1980.
    pub(super) const VON_KARMAN_ACROSS: Self =
        Self { above: [1.0, 2.7478, 0.3398], below: &[2.9958, 1.9754, 0.1539] };
}

/// A filter with its state: reads the gust and its gradient.
#[derive(Debug)]
pub(super) struct Chain {
    state: [f64; N],
    keep: Matrix,
    kick: Matrix,
    spread: Matrix,
    gust: [f64; N],
    gradient: [f64; N],
}

impl Chain {
    /// With the gain of the gust, the filter time, the lag (s) and airspeed (m/s) of the gradient if there is one, and the step.
    pub(super) fn new(
        filter: &Filter,
        gain: f64,
        time_s: f64,
        gradient: Option<(f64, f64)>,
        step_s: f64,
    ) -> Self {
        let order = filter.below.len();
        let mut rate: Matrix = [[0.0; N]; N];
        for (i, row) in rate.iter_mut().enumerate().take(order - 1) {
            row[i + 1] = 1.0;
        }
        let lead = filter.below[order - 1];
        rate[order - 1][0] = -1.0 / lead;
        for (place, value) in rate[order - 1].iter_mut().skip(1).zip(&filter.below[..order - 1]) {
            *place = -value / lead;
        }
        let mut gust = [0.0; N];
        for (place, value) in gust.iter_mut().zip(filter.above) {
            *place = gain * value;
        }
        let mut slope = [0.0; N];
        if let Some((lag_s, airspeed_mps)) = gradient {
            let lag = lag_s / time_s;
            for i in 0..order {
                rate[order][i] = filter.above[i] / lag;
                slope[i] = gust[i] / (airspeed_mps * lag_s);
            }
            rate[order][order] = -1.0 / lag;
            slope[order] = -gain / (airspeed_mps * lag_s);
        }
        let (keep, added, steady) = discretize(&rate, order - 1, 1.0 / lead, step_s / time_s);
        let (kick, spread) = (square_root(&added), square_root(&steady));
        Self { state: [0.0; N], keep, kick, spread, gust, gradient: slope }
    }

    /// Puts it somewhere usual.
    pub(super) fn start(&mut self, generator: &mut SplitMix) {
        self.state = apply(&self.spread, &draw(generator));
    }

    /// Goes on by the step.
    pub(super) fn advance(&mut self, generator: &mut SplitMix) {
        let (kept, kick) = (apply(&self.keep, &self.state), apply(&self.kick, &draw(generator)));
        self.state = std::array::from_fn(|i| kept[i] + kick[i]);
    }

    /// Gust, m/s, and its gradient along the way, 1/s.
    pub(super) fn read(&self) -> [f64; 2] {
        let dot = |row: &[f64; N]| row.iter().zip(self.state).map(|(a, b)| a * b).sum();
        [dot(&self.gust), dot(&self.gradient)]
    }
}

fn draw(generator: &mut SplitMix) -> [f64; N] {
    std::array::from_fn(|_| generator.normal())
}

fn apply(m: &Matrix, x: &[f64; N]) -> [f64; N] {
    std::array::from_fn(|i| (0..N).map(|j| m[i][j] * x[j]).sum())
}

fn product(a: &Matrix, b: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..N).map(|k| a[i][k] * b[k][j]).sum()))
}

fn transposed(a: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| a[j][i]))
}

fn sum(a: &Matrix, b: &Matrix) -> Matrix {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + b[i][j]))
}

/// Transition over the step, covariance added in it, covariance in the steady state, of `x' = rate x + strength e noise`.
///
/// A series over a short time, then doubling: the covariance of two spans is that of the second plus that of the first carried
/// through the second. Doubling on until nothing is left of the beginning gives the steady state.
fn discretize(rate: &Matrix, entry: usize, strength: f64, step: f64) -> (Matrix, Matrix, Matrix) {
    let largest =
        rate.iter().map(|row| row.iter().map(|x| x.abs()).sum::<f64>()).fold(0.0, f64::max);
    let mut doublings = 0;
    let mut short = step;
    while short * largest > 0.05 && doublings < 60 {
        short *= 0.5;
        doublings += 1;
    }
    let (mut keep, mut added) = series(rate, entry, strength, short);
    let double = |keep: &Matrix, added: &Matrix| {
        let carried = product(&product(keep, added), &transposed(keep));
        (product(keep, keep), sum(added, &carried))
    };
    for _ in 0..doublings {
        (keep, added) = double(&keep, &added);
    }
    let (mut far, mut steady) = (keep, added);
    for _ in 0..64 {
        (far, steady) = double(&far, &steady);
    }
    (keep, added, steady)
}

/// Transition and covariance over a short time by their Taylor series: derivatives of the covariance follow from
/// `Q' = A Q + Q A^T + B B^T`.
fn series(rate: &Matrix, entry: usize, strength: f64, time: f64) -> (Matrix, Matrix) {
    let mut keep: Matrix =
        std::array::from_fn(|i| std::array::from_fn(|j| f64::from(u8::from(i == j))));
    let mut power = keep;
    let mut term: Matrix = [[0.0; N]; N];
    term[entry][entry] = strength * strength * time;
    let mut added = term;
    for order in 1..=16 {
        let factor = time / f64::from(order);
        power = product(rate, &power).map(|row| row.map(|x| x * factor));
        keep = sum(&keep, &power);
        let half = product(rate, &term);
        let factor = time / f64::from(order + 1);
        term = sum(&half, &transposed(&half)).map(|row| row.map(|x| x * factor));
        added = sum(&added, &term);
    }
    (keep, added)
}

/// Lower triangle whose square is a covariance; directions without variance (or below its rounding) stay nil.
fn square_root(covariance: &Matrix) -> Matrix {
    let mut root: Matrix = [[0.0; N]; N];
    for j in 0..N {
        let left = covariance[j][j] - (0..j).map(|k| root[j][k] * root[j][k]).sum::<f64>();
        if left <= 1e-15 * covariance[j][j] {
            continue;
        }
        root[j][j] = left.sqrt();
        for i in j + 1..N {
            let inner: f64 = (0..j).map(|k| root[i][k] * root[j][k]).sum();
            root[i][j] = (covariance[i][j] - inner) / root[j][j];
        }
    }
    root
}

#[cfg(test)]
mod tests {
    use super::Filter;
    use base::math::pow;

    /// Square of the frequency response at a frequency in filter times.
    fn power(filter: &Filter, x: f64) -> f64 {
        let square = |terms: &[f64]| {
            let term = |i: usize| terms.get(i).copied().unwrap_or(0.0);
            let (real, imaginary) = (term(0) - term(2) * x * x, term(1) * x - term(3) * x.powi(3));
            real * real + imaginary * imaginary
        };
        let mut below = vec![1.0];
        below.extend(filter.below);
        square(&filter.above) / square(&below)
    }

    /// Dryden filters against the spectra of MIL-F-8785C, exactly.
    #[test]
    fn val_dryden_filters_are_the_spectra() {
        for x in (-20..=20).map(|i| pow(10.0, f64::from(i) / 10.0)) {
            let along = 1.0 / (1.0 + x * x);
            let across = (1.0 + 3.0 * x * x) / (1.0 + x * x).powi(2);
            assert!((power(&Filter::DRYDEN_ALONG, x) / along - 1.0).abs() < 1e-12);
            assert!((power(&Filter::DRYDEN_ACROSS, x) / across - 1.0).abs() < 1e-12);
        }
    }

    /// Von Karman filters against the exact spectra of MIL-F-8785C, `1/(1 + (1.339 x)^2)^(5/6)` and
    /// `(1 + 8/3 (1.339 x)^2)/(1 + (1.339 x)^2)^(11/6)`: within 5 % in power up to ten filter frequencies.
    /// Beyond, a filter of this order falls with the second power where the spectrum falls with five thirds: 31 % low at fifty.
    /// That is the filter as published, kept here at its value.
    #[test]
    fn val_von_karman_filters_are_near_the_spectra() {
        let mut worst: [f64; 2] = [0.0; 2];
        for x in (-200..=170).map(|i| pow(10.0, f64::from(i) / 100.0)) {
            let square = (1.339 * x).powi(2);
            let along = pow(1.0 + square, -5.0 / 6.0);
            let across = (1.0 + 8.0 / 3.0 * square) * pow(1.0 + square, -11.0 / 6.0);
            let misses = [
                power(&Filter::VON_KARMAN_ALONG, x) / along - 1.0,
                power(&Filter::VON_KARMAN_ACROSS, x) / across - 1.0,
            ];
            let band = usize::from(x > 10.0);
            worst[band] = misses.iter().fold(worst[band], |w, miss| w.max(miss.abs()));
        }
        println!("von Karman filters: off by {:.3} to 10, {:.3} to 50", worst[0], worst[1]);
        assert!(worst[0] < 0.05 && worst[1] < 0.31, "{worst:?}");
    }
}
