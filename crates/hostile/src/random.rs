//! A small seeded generator (SplitMix64: Steele, Lea and Flood 2014): the same seed gives the same files everywhere.

/// The generator.
#[derive(Debug, Clone)]
pub struct Random {
    state: u64,
}

impl Random {
    /// From a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }
    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }
    /// Evenly in 0 to `end`, excluded; 0 when `end` is 0.
    pub fn below(&mut self, end: usize) -> usize {
        ((u128::from(self.bits()) * end as u128) >> 64) as usize
    }
    /// One of several; `None` of nothing.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        from.get(self.below(from.len()))
    }
    /// A range of a text of so many bytes, short ones likelier.
    pub fn range(&mut self, length: usize) -> std::ops::Range<usize> {
        let start = self.below(length);
        let most = match self.below(3) {
            0 => 4,
            1 => 64,
            _ => length,
        };
        let end = start + 1 + self.below(most.min(length - start).max(1));
        start..end.min(length)
    }
}
