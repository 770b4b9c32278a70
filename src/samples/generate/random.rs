//! Random numbers that are the same on every machine, and seeded only by the caller.

use crate::engineering::reliability::seeded::SplitMix64;

/// Small draws from a seeded stream.
pub(super) struct Random(SplitMix64);

impl Random {
    pub(super) const fn new(seed: u64) -> Self {
        Self(SplitMix64::new(seed))
    }

    const fn next(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A number below a limit; the limit is small, so the remainder is even enough.
    pub(super) fn below(&mut self, limit: u32) -> u32 {
        (self.next() % u64::from(limit.max(1))) as u32
    }

    /// True that many times in a hundred.
    pub(super) fn percent(&mut self, chance: u32) -> bool {
        self.below(100) < chance
    }

    pub(super) fn pick<T: Copy>(&mut self, from: &[T]) -> Option<T> {
        let index = self.below(from.len() as u32) as usize;
        from.get(index).copied()
    }
}
