//! Seeded chance: numbers that are the same on every system, and values that stray and come back.

use base::math::{cos, exp, ln};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// Random numbers from a seed.
#[derive(Debug, Clone)]
pub struct Dice(Pcg64);

impl Dice {
    /// Streams of one seed that differ in `stream` are independent: the hand does not know what the receiver does.
    #[must_use]
    pub fn new(seed: u64, stream: u64) -> Self {
        Self(Pcg64::seed_from_u64(seed ^ stream.wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }
    /// Uniform in (0, 1).
    pub fn share(&mut self) -> f64 {
        ((self.0.next_u64() >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }
    /// Sixty-four random bits: a seed for something else.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }
    /// Uniform between two values.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }
    /// Normal with nil mean and unit variance. Source: BM-1958.
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * ln(self.share())).sqrt();
        radius * cos(std::f64::consts::TAU * self.share())
    }
}

/// A value with nil mean that strays with a standard deviation and forgets over a time (Ornstein-Uhlenbeck).
#[derive(Debug, Clone)]
pub struct Wander {
    value: f64,
    spread: f64,
    memory_s: f64,
}

impl Wander {
    /// Starts somewhere usual. `memory_s` must be positive.
    #[must_use]
    pub fn new(spread: f64, memory_s: f64, dice: &mut Dice) -> Self {
        Self { value: spread * dice.normal(), spread, memory_s }
    }
    /// Goes on by a time and returns the value; exact for any step.
    pub fn step(&mut self, step_s: f64, dice: &mut Dice) -> f64 {
        let keep = exp(-step_s / self.memory_s);
        self.value = keep * self.value + self.spread * (1.0 - keep * keep).sqrt() * dice.normal();
        self.value
    }
}

#[cfg(test)]
mod tests {
    use super::{Dice, Wander};

    #[test]
    fn prop_a_wander_has_its_spread_and_memory() {
        let mut dice = Dice::new(7, 1);
        let mut wander = Wander::new(2.0, 4.0, &mut dice);
        let values: Vec<f64> = (0..400_000).map(|_| wander.step(0.5, &mut dice)).collect();
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let variance = values.iter().map(|v| v * v).sum::<f64>() / n;
        // Eight steps of half a second are one memory: correlation 1 / e.
        let later = values.windows(9).map(|w| w[0] * w[8]).sum::<f64>() / n / variance;
        assert!(mean.abs() < 0.05, "{mean}");
        assert!((variance.sqrt() - 2.0).abs() < 0.03, "{variance}");
        assert!((later - base::math::exp(-1.0)).abs() < 0.02, "{later}");
    }

    #[test]
    fn prop_streams_differ_and_repeat() {
        let first = |stream| Dice::new(3, stream).normal().to_bits();
        assert_eq!(first(1), first(1));
        assert_ne!(first(1), first(2));
    }
}
