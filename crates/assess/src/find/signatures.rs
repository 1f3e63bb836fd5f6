//! How each thing that an airplane may be doing while it turns tends to look. One more maneuver is one more file here and one
//! more line in [`ALL`].
//!
//! A signature gives, for each feature, where it tends to lie and how widely spoiled attempts scatter. The spreads are those
//! of students, not tolerances: they have heavy tails and never exclude anything. The centers follow from the geometry of the
//! figures (the catalogue's forms); the spreads are common practice, no source. Ordinary flying competes on the same features.

mod chandelle;
mod lazy_eight;
mod ordinary;
mod steep_turn;
mod wing_over;

use super::features::{Features, N};
use base::math::{hypot, ln};

/// Everything that competes to explain a turn.
pub(super) const ALL: &[&[Signature]] =
    &[steep_turn::ALL, chandelle::ALL, lazy_eight::ALL, wing_over::ALL, ordinary::ALL];

/// Where one feature tends to lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Prior {
    /// Around a center, with a spread below and above it; heavy tails (Student's t, four degrees of freedom).
    Around(f64, f64, f64),
    /// Anywhere between two values.
    Between(f64, f64),
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
pub(super) struct Signature {
    /// In words, for the evidence: "a climbing turn".
    pub(super) words: &'static str,
    /// Catalogue key, or `None` for ordinary flying.
    pub(super) maneuver: Option<&'static str>,
    /// How often it is met among turns of a training flight, before looking.
    pub(super) share: f64,
    /// One for each feature.
    pub(super) priors: [Prior; N],
}

/// Features of one turn are not independent: each counts for this part of an independent one.
const INDEPENDENCE: f64 = 0.7;

impl Signature {
    /// Natural logarithm of the density, features taken as independent in part.
    pub(super) fn log_density(&self, features: &Features) -> f64 {
        let one =
            |(i, prior): (usize, &Prior)| prior.log_density(features.value[i], features.sigma[i]);
        INDEPENDENCE * self.priors.iter().enumerate().map(one).sum::<f64>()
    }
}
