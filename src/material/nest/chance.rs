//! Numbers without rhyme, the same ones on every machine.

/// A generator with a fixed start: xorshift64* (S. Vigna, "An experimental exploration of Marsaglia's
/// xorshift generators, scrambled", ACM Transactions on Mathematical Software 42 (2016) 30).
#[derive(Clone, Debug)]
pub(super) struct Chance(u64);

impl Chance {
    /// The start of the one sequence there is.
    pub const fn new() -> Self {
        Self(0x9E37_79B9_7F4A_7C15)
    }

    /// A number below `end`; 0 where there is none.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let drawn = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32;
        ((drawn * end as u64) >> 32) as usize
    }
}
