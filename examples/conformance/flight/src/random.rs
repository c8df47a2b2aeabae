//! A small generator of random integers, the same on every target.

/// Marsaglia's 32-bit xorshift ("Xorshift RNGs", Journal of Statistical Software 8(14), 2003), shifts 13, 17, 5.
#[derive(Clone, Debug)]
pub(crate) struct Random(u32);

impl Random {
    /// The sequence of this seed, below 2^32 - 1.
    pub(crate) fn new(seed: u32) -> Self {
        // An odd factor keeps the state from 0, and makes the sequences of neighbouring seeds differ.
        let mut random = Self(seed.wrapping_add(1).wrapping_mul(0x9E37_79B1));
        for _ in 0..8 {
            random.next();
        }
        random
    }

    pub(crate) fn next(&mut self) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0
    }

    /// From 0 to below `end`, which is not 0. Small numbers are slightly more likely, which does no harm here.
    pub(crate) fn below(&mut self, end: u32) -> u32 {
        self.next() % end
    }

    /// From `low` to `high`, both included.
    pub(crate) fn within(&mut self, low: i16, high: i16) -> i16 {
        let span = u32::from(high.abs_diff(low)) + 1;
        // The offset is below 2^16, and `low` plus the offset is within `high`: the wrapping sum is the sum.
        let [a, b, ..] = self.below(span).to_le_bytes();
        low.wrapping_add(i16::from_le_bytes([a, b]))
    }

    pub(crate) fn one_in(&mut self, n: u32) -> bool {
        self.below(n) == 0
    }

    /// One of these values.
    pub(crate) fn one_of<T: Copy, const K: usize>(&mut self, of: [T; K]) -> T {
        let mut drawn = self.below(u32::try_from(K).unwrap_or(1));
        for item in of {
            if drawn == 0 {
                return item;
            }
            drawn -= 1;
        }
        of[0]
    }

    /// The index of one of these weights, drawn in proportion to the weights.
    pub(crate) fn weighted<const K: usize>(&mut self, weights: [u32; K]) -> usize {
        let mut drawn = self.below(weights.iter().sum());
        for (place, weight) in weights.into_iter().enumerate() {
            match drawn.checked_sub(weight) {
                Some(left) => drawn = left,
                None => return place,
            }
        }
        K
    }
}
