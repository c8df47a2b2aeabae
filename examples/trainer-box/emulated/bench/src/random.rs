//! A small random number generator: the same seed gives the same lesson on every machine.

/// `SplitMix64` (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
#[derive(Clone, Debug)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `low` to `high`, both included. The distribution is not exactly uniform, which does not matter
    /// here.
    pub(crate) fn within(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.next() % u64::try_from(high - low + 1).expect("low is not above high")).expect("small")
    }

    /// The same for times, in microseconds.
    pub(crate) fn time(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }

    pub(crate) fn one_in(&mut self, n: u64) -> bool {
        self.next().is_multiple_of(n)
    }

    pub(crate) fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        let place = self.next() % u64::try_from(of.len()).expect("small");
        of[usize::try_from(place).expect("small")]
    }
}
