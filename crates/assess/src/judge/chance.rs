//! The chance that a quantity stayed inside its bounds at every place of a stretch, when the errors of its places hang together.
//!
//! An error of a place is one part that all places of the stretch share (a wind, a slip, a bias) and one that is forgotten after a while
//! (gusts, noise, what a smoother cannot follow). Given the shared part, stretches as long as that while are independent. The shared part
//! is summed over by the trapezoidal rule, which for a smooth function under a normal density converges faster than any power of the
//! step. Linear in the number of places.

use super::Bounds;
use crate::attempt::Estimate;
use base::math::exp;
use base::numerics::statistics::normal_cdf;

/// How errors of one quantity hang together over a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Together {
    /// Share of the variance that all places have in common, 0 to 1.
    pub(super) shared: f64,
    /// Places after which the rest is forgotten.
    pub(super) memory: usize,
}

impl Together {
    /// One error for all places.
    pub(super) const ALL: Self = Self { shared: 1.0, memory: 1 };
}

/// Values of the shared part, in standard deviations: from minus to plus this, in so many steps.
const REACH: f64 = 4.5;
const STEPS: usize = 36;

/// Chance, 0 to 1, that the quantity was inside at every one of the values, which are in time order.
pub(super) fn inside(bounds: Bounds, values: &[Estimate], together: Together) -> f64 {
    if together.shared >= 1.0 {
        return inside_with_one_error(bounds, values);
    }
    let (of_all, own) = (together.shared.sqrt(), (1.0 - together.shared).sqrt());
    let (mut sum, mut weights) = (0.0, 0.0);
    for step in 0..=STEPS {
        let z = REACH * (2.0 * step as f64 / STEPS as f64 - 1.0);
        let weight = exp(-0.5 * z * z);
        weights += weight;
        let stretch = |values: &[Estimate]| {
            let one = |e: &Estimate| {
                let value = e.value + of_all * e.sigma * z;
                inside_at(bounds, value, own * e.sigma)
            };
            values.iter().map(one).fold(1.0, f64::min)
        };
        sum += weight * values.chunks(together.memory.max(1)).map(stretch).product::<f64>();
    }
    sum / weights
}

/// The same where one error moves all values, each as far as its sigma: between the first that it brings to an edge.
fn inside_with_one_error(bounds: Bounds, values: &[Estimate]) -> f64 {
    let sigmas_to = |edge: f64, e: &Estimate| {
        let off = edge - e.value;
        if e.sigma > 0.0 { off / e.sigma } else { off * f64::INFINITY }
    };
    let under_high = bounds.high.map_or(f64::INFINITY, |high| {
        values.iter().map(|e| sigmas_to(high, e)).fold(f64::INFINITY, f64::min)
    });
    let over_low = bounds.low.map_or(f64::NEG_INFINITY, |low| {
        values.iter().map(|e| sigmas_to(low, e)).fold(f64::NEG_INFINITY, f64::max)
    });
    (normal_cdf(under_high) - normal_cdf(over_low)).max(0.0)
}

/// Chance that one normal variable is inside.
fn inside_at(bounds: Bounds, value: f64, sigma: f64) -> f64 {
    let below = |edge: f64| {
        if sigma > 0.0 {
            normal_cdf((edge - value) / sigma)
        } else {
            f64::from(u8::from(value <= edge))
        }
    };
    let under_high = bounds.high.map_or(1.0, below);
    let under_low = bounds.low.map_or(0.0, below);
    (under_high - under_low).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::math::asin;

    const UNDER: Bounds = Bounds { low: None, high: Some(0.0) };

    fn at(values: &[f64]) -> Vec<Estimate> {
        values.iter().map(|&value| Estimate { value, sigma: 2.0 }).collect()
    }

    /// Two normal variables with a correlation are both under their means with the chance `1/4 + asin(r) / 2 pi` (Sheppard's theorem of
    /// median dichotomy).
    #[test]
    fn val_two_places_with_a_shared_error() {
        for shared in [0.0, 0.2, 0.5, 0.8, 0.9] {
            let chance = inside(UNDER, &at(&[0.0, 0.0]), Together { shared, memory: 1 });
            let exact = 0.25 + asin(shared) / std::f64::consts::TAU;
            assert!((chance - exact).abs() < 2e-4, "{shared}: {chance} instead of {exact}");
        }
    }

    #[test]
    fn val_one_place_and_many() {
        let apart = |shared| Together { shared, memory: 2 };
        for shared in [0.0, 0.4, 0.8] {
            let one = inside(UNDER, &at(&[-3.0]), apart(shared));
            assert!((one - normal_cdf(1.5)).abs() < 1e-4, "{one}");
        }
        // Three stretches of two places, nothing in common; within a stretch the worst place counts.
        let many = inside(UNDER, &at(&[-3.0, -9.0, -9.0, -3.0, -3.0, -3.0]), apart(0.0));
        assert!((many - normal_cdf(1.5).powi(3)).abs() < 1e-9, "{many}");
        // One error for all: the worst place decides, however many there are.
        let all = inside(UNDER, &at(&[-3.0, -9.0, -3.0, -4.0]), Together::ALL);
        assert!((all - normal_cdf(1.5)).abs() < 1e-12, "{all}");
        // Between two edges, from both sides.
        let between = Bounds { low: Some(-4.0), high: Some(0.0) };
        let both = inside(between, &at(&[-3.0, -1.0]), Together::ALL);
        assert!((both - (normal_cdf(0.5) - normal_cdf(-0.5))).abs() < 1e-12, "{both}");
    }

    #[test]
    fn prop_a_number_without_error_is_inside_or_not() {
        let exact = |value| [Estimate { value, sigma: 0.0 }];
        for together in [Together::ALL, Together { shared: 0.5, memory: 3 }] {
            assert!((inside(UNDER, &exact(-0.1), together) - 1.0).abs() < 1e-12);
            assert!(inside(UNDER, &exact(0.1), together) < 1e-12);
        }
    }
}
