//! Random numbers that are the same on every machine, and seeded only by the caller.

/// `SplitMix64`: small, fast and the same on every machine.
///
/// Source: Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014,
/// doi 10.1145/2660193.2660195; the 64-bit mixing constants are those in common use.
pub(super) struct Random(pub(super) u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
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
