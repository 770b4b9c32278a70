//! Random numbers that are the same on every machine, and seeded only by the caller.
//!
//! Formula: the state grows by `0x9e3779b97f4a7c15` for each number; the number is the state mixed
//! by two rounds of shift, exclusive or and multiplication.
//!
//! Units: none.
//!
//! Valid range: every seed.
//!
//! When it is wrong: secrets; anybody can tell the next number from the last. Two seeds can give
//! overlapping runs.
//!
//! Source: Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014,
//! doi 10.1145/2660193.2660195, from memory; the 64-bit mixing constants are those in common use.
//!
//! Worked example: seed 1234567 gives 6457827717110365317 first.

/// `SplitMix64`: small, fast and the same on every machine.
#[derive(Debug, Clone)]
pub struct SplitMix64 {
    state: u64,
}

impl SplitMix64 {
    /// Makes a generator; every seed is good.
    pub const fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// Returns the next number, any of the 2^64 alike.
    pub const fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Returns a number from 0 up to but without 1, in steps of 2^-53.
    pub const fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / (1_u64 << 53) as f64;
        (self.next_u64() >> 11) as f64 * STEP
    }

    /// Returns a number below a limit, or 0 for the limit 0.
    ///
    /// It scales and never rejects, so some numbers are likelier than others by up to one part in
    /// 2^32.
    pub const fn below(&mut self, limit: u32) -> u32 {
        (((self.next_u64() >> 32) * limit as u64) >> 32) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_as_published() {
        // Rosetta Code, task "Pseudo-random numbers/Splitmix64", the first five for seed 1234567.
        let mut random = SplitMix64::new(1_234_567);
        let published: [u64; 5] = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!([(); 5].map(|()| random.next_u64()), published);
    }

    #[test]
    fn numbers_stay_in_their_range_and_fill_it() {
        let mut random = SplitMix64::new(5);
        let mut tens = [0_u32; 10];
        for _ in 0..10_000 {
            let unit = random.unit();
            assert!((0.0..1.0).contains(&unit), "{unit}");
            tens[random.below(10) as usize] += 1;
        }
        // 1000 expected in each; 30 is one standard deviation.
        assert!(tens.iter().all(|n| (850..1150).contains(n)), "{tens:?}");
        assert_eq!(random.below(0), 0);
        assert_eq!(random.below(1), 0);
    }
}
