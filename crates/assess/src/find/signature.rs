//! How something that an airplane may be doing tends to look, as densities over a few features.
//!
//! A signature gives, for each feature, where it tends to lie and how widely spoiled attempts scatter. The spreads are those
//! of students, not tolerances: they have heavy tails and never exclude anything. The centers follow from the geometry of the
//! figures (the catalogue's forms); the spreads are common practice, no source. Ordinary flying competes on the same features.

use super::{Claim, Found, FoundPart};
use base::math::{exp, hypot, ln};
use base::numerics::statistics::{probability_of_log_odds, times_likelier};

/// Where one feature tends to lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Prior {
    /// Around a center, with a spread below and above it; heavy tails (Student's t, four degrees of freedom).
    Around(f64, f64, f64),
    /// Anywhere between two values.
    Between(f64, f64),
    /// Around a center, and never below it by more than a spread and its own sigma explain: what physics, not habit, forbids.
    NotBelow(f64, f64, f64),
}

impl Prior {
    /// Natural logarithm of the density of a value known with this sigma.
    fn log_density(self, value: f64, sigma: f64) -> f64 {
        match self {
            Self::Around(center, below, above) => {
                let spread = if value < center { below } else { above };
                let width = hypot(spread, sigma);
                let z = (value - center) / width;
                let norm = 0.75 / (hypot(below, sigma) + hypot(above, sigma));
                ln(norm) - 2.5 * ln(1.0 + z * z / 4.0)
            }
            Self::NotBelow(center, below, above) => {
                let width = hypot(below, sigma);
                let z = ((value - center) / width).min(0.0);
                // The heavy tail above; below the normal one in full, so often taken as it counts less than an independent feature.
                let tail = 0.5 * z * z / INDEPENDENCE;
                Self::Around(center, below, above).log_density(value.max(center), sigma) - tail
            }
            Self::Between(low, high) => {
                // Outside it falls off over a tenth of the width.
                let width = high - low;
                let outside = (low - value).max(value - high).max(0.0);
                -ln(1.1 * width) - 10.0 * outside / width
            }
        }
    }
}

/// How one thing tends to look.
#[derive(Debug, Clone, Copy)]
pub(super) struct Signature<const N: usize> {
    /// In words, for the evidence: "a climbing turn".
    pub(super) words: &'static str,
    /// Catalogue key, or `None` for ordinary flying.
    pub(super) maneuver: Option<&'static str>,
    /// How often it is met among its like on a training flight, before looking.
    pub(super) share: f64,
    /// One for each feature.
    pub(super) priors: [Prior; N],
}

/// Features of one stretch of flight are not independent: each counts for this part of an independent one.
const INDEPENDENCE: f64 = 0.7;

impl<const N: usize> Signature<N> {
    /// Natural logarithm of the density, features taken as independent in part.
    pub(super) fn log_density(&self, value: &[f64; N], sigma: &[f64; N]) -> f64 {
        let one = |(i, prior): (usize, &Prior)| prior.log_density(value[i], sigma[i]);
        INDEPENDENCE * self.priors.iter().enumerate().map(one).sum::<f64>()
    }
}

/// Logarithm of a sum of exponentials.
pub(super) fn sum(logs: impl Iterator<Item = f64> + Clone) -> f64 {
    let greatest = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    if greatest.is_finite() {
        greatest + ln(logs.map(|log| exp(log - greatest)).sum())
    } else {
        greatest
    }
}

/// What was weighed of one stretch: every explanation with the logarithm of share times density.
#[derive(Debug, Clone)]
pub(super) struct Weighed {
    scores: Vec<(&'static str, Option<&'static str>, f64)>,
}

impl Weighed {
    pub(super) fn new<const N: usize>(
        signatures: &'static [&'static [Signature<N>]],
        value: &[f64; N],
        sigma: &[f64; N],
    ) -> Self {
        let one = |signature: &'static Signature<N>| {
            let score = ln(signature.share) + signature.log_density(value, sigma);
            (signature.words, signature.maneuver, score)
        };
        Self { scores: signatures.iter().flat_map(|list| list.iter()).map(one).collect() }
    }
    /// With everything ordinary so many times likelier, by what else is known of the flight.
    pub(super) fn ordinary_times(mut self, times: f64) -> Self {
        let shift = ln(times);
        self.scores.iter_mut().filter(|score| score.1.is_none()).for_each(|score| score.2 += shift);
        self
    }
    fn total(&self, which: impl Fn(Option<&'static str>) -> bool) -> f64 {
        sum(self.scores.iter().filter(|score| which(score.1)).map(|score| score.2))
    }
    /// The likeliest maneuver; `None` when anything else is likelier.
    pub(super) fn best(&self) -> Option<Likeliest> {
        let named = self.scores.iter().filter_map(|score| score.1);
        let of = |id: &'static str| self.total(|maneuver| maneuver == Some(id));
        let best = named.max_by(|a, b| of(a).total_cmp(&of(b)))?;
        let others = self.scores.iter().filter(|score| score.1 != Some(best));
        let runner_up = others.max_by(|a, b| a.2.total_cmp(&b.2))?;
        let score = of(best);
        let over_ordinary = score - self.total(|maneuver| maneuver.is_none());
        let over_all = score - self.total(|maneuver| maneuver != Some(best));
        let below = score - runner_up.2;
        let words = if below >= 0.0 {
            format!("runner-up: {}; this is {}", runner_up.0, times_likelier(below))
        } else {
            format!("runner-up: {}, which is {}", runner_up.0, times_likelier(-below))
        };
        (over_all > 0.0).then(|| Likeliest {
            maneuver: best,
            gain: over_ordinary,
            confidence: probability_of_log_odds(over_all),
            runner_up: words,
        })
    }
}

/// The likeliest explanation of a stretch, a maneuver.
#[derive(Debug, Clone)]
pub(super) struct Likeliest {
    pub(super) maneuver: &'static str,
    /// Log-odds over ordinary flying.
    pub(super) gain: f64,
    /// Probability over everything else that was weighed.
    pub(super) confidence: f64,
    /// In words.
    pub(super) runner_up: String,
}

impl Likeliest {
    /// The claim that it was flown in these parts, with what it looks like in words.
    pub(super) fn claim(self, looks: String, parts: Vec<FoundPart>) -> Claim {
        let Self { maneuver, gain, confidence, runner_up } = self;
        Claim {
            found: Found { maneuver, confidence, evidence: vec![looks, runner_up], parts },
            gain,
        }
    }
}
