//! Numbers that look like chance and repeat for the same seed.
//!
//! Invariant: the sequence depends on the seed alone. (The generator is xorshift64* by Vigna, 2016, "An
//! experimental exploration of Marsaglia's xorshift generators, scrambled", ACM TOMS 42(4); seeds are
//! spread by the golden-ratio step of his splitmix64.)

/// A source of numbers.
#[derive(Clone, Debug)]
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new(seed: u64, stream: u64) -> Self {
        let mut state = seed
            .wrapping_add(stream.wrapping_mul(0xD1B5_4A32_D192_ED03))
            .wrapping_add(0x9E37_79B9_7F4A_7C15);
        state = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        state = (state ^ (state >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        Self((state ^ (state >> 31)) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number below `count` (0 when `count` is 0).
    pub(super) fn below(&mut self, count: usize) -> usize {
        ((u128::from(self.next()) * count as u128) >> 64) as usize
    }

    /// A number from `low` up to, not including, `high` (`low` when there is none).
    pub(super) fn between(&mut self, low: i64, high: i64) -> i64 {
        low + self.below(usize::try_from(high - low).unwrap_or(0)) as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn repeats_and_stays_in_range() {
        let roll = |seed, stream| {
            let mut dice = Dice::new(seed, stream);
            (0..200).map(|_| dice.below(7)).collect::<Vec<_>>()
        };
        assert_eq!(roll(3, 0), roll(3, 0));
        assert_ne!(roll(3, 0), roll(4, 0));
        assert_ne!(roll(3, 0), roll(3, 1));
        let mut seen = roll(3, 0);
        seen.sort_unstable();
        seen.dedup();
        assert_eq!(seen, [0, 1, 2, 3, 4, 5, 6]);
        assert_eq!(Dice::new(1, 1).below(0), 0);
    }
}
