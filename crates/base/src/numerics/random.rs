//! Numbers by chance from a seed, the same on every system.

use crate::math::{cos, ln};

/// The generator SplitMix64: 64 bits of state, period 2^64. Not for secrets.
///
/// Source: SLF-2014.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SplitMix {
    state: u64,
}

impl SplitMix {
    /// From a seed; every seed is good.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self { state: seed }
    }
    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }
    /// Uniform in the open interval from 0 to 1.
    pub fn share(&mut self) -> f64 {
        ((self.bits() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }
    /// Normal with nil mean and unit variance. Source: BM-1958.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * ln(self.share())).sqrt();
        radius * cos(std::f64::consts::TAU * self.share())
    }
}

#[cfg(test)]
mod tests {
    use super::SplitMix;

    /// First numbers of the published algorithm from seed 1234567 (widely printed test values; from memory).
    #[test]
    fn val_first_numbers_from_a_seed() {
        let mut generator = SplitMix::new(1_234_567);
        let first: [u64; 3] = std::array::from_fn(|_| generator.bits());
        let printed =
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423];
        assert_eq!(first, printed);
    }

    /// Mean, variance and fourth moment of the normal distribution (0, 1, 3) within five standard errors of a million
    /// draws: chance of a false alarm below one in a million each.
    #[test]
    fn prop_moments_of_the_normal_numbers() {
        let mut generator = SplitMix::new(5);
        let count = 1_000_000;
        let (mut first, mut second, mut fourth) = (0.0, 0.0, 0.0);
        for _ in 0..count {
            let x = generator.normal();
            (first, second, fourth) = (first + x, second + x * x, fourth + x.powi(4));
        }
        let n = f64::from(count);
        assert!((first / n).abs() < 5.0 / n.sqrt());
        assert!((second / n - 1.0).abs() < 5.0 * (2.0 / n).sqrt());
        assert!((fourth / n - 3.0).abs() < 5.0 * (96.0 / n).sqrt());
    }
}
