//! Seeded random numbers for simulated sticks, people and links, the same on every machine.
//!
//! The generator is `SplitMix64` (Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014).

#![forbid(unsafe_code)]

/// One stream of random numbers.
#[derive(Clone, Debug)]
pub struct Random {
    state: u64,
    /// The second number of the last pair of [`normal`](Self::normal).
    spare: Option<f64>,
}

impl Random {
    /// The stream that begins at this state.
    pub const fn new(state: u64) -> Self {
        Self { state, spare: None }
    }

    /// The stream of this number for this seed. Streams of one seed are independent: a draw from one does not move
    /// another.
    pub fn stream(seed: u64, stream: u64) -> Self {
        Self::new(Self::new(seed).next() ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03))
    }

    /// 64 random bits.
    #[allow(clippy::should_implement_trait)] // it never ends
    pub const fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.state ^ (self.state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform from 0 to below 1.
    #[allow(clippy::cast_precision_loss)] // 53 bits fit exactly
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform between two limits.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// True with this probability.
    pub fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// -1 or 1.
    pub fn sign(&mut self) -> f64 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }

    /// A number from 0 to below `count`. This and the methods below favour small numbers, by less than `count` in 2^64.
    ///
    /// # Panics
    /// For a count of 0.
    pub const fn below(&mut self, count: usize) -> usize {
        #[allow(clippy::cast_possible_truncation)] // below a `usize`
        let below = (self.next() % count as u64) as usize;
        below
    }

    /// A number from `low` to `high`, both included.
    ///
    /// # Panics
    /// For `low` above `high`.
    pub fn within(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.next() % u64::try_from(high - low + 1).expect("low is not above high")).expect("small")
    }

    /// The same for times, in microseconds.
    pub const fn time(&mut self, low: u64, high: u64) -> u64 {
        low + self.next() % (high - low + 1)
    }

    /// True with the probability 1 / `n`.
    pub const fn one_in(&mut self, n: u64) -> bool {
        self.next().is_multiple_of(n)
    }

    /// One item of the list.
    ///
    /// # Panics
    /// For an empty list.
    pub fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())]
    }

    /// Normal with mean 0 and deviation 1.
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let [first, second] = self.normal_pair();
        self.spare = Some(second);
        first
    }

    /// Two independent normal numbers, by Marsaglia's polar method.
    pub fn normal_pair(&mut self) -> [f64; 2] {
        loop {
            let (x, y) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                let scale = (-2.0 * libm::log(square) / square).sqrt();
                return [x * scale, y * scale];
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From memory: the widely used test vector of `SplitMix64` for the state 1234567.
    #[test]
    fn the_generator_gives_the_published_numbers() {
        let mut random = Random::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|_| random.next()).collect();
        assert_eq!(
            first,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
    }

    /// Abramowitz and Stegun, Table 26.1: two-sided tails at 1, 2 and 3 deviations.
    #[test]
    fn normal_numbers_have_normal_tails() {
        let mut random = Random::stream(7, 0);
        let draws: Vec<f64> = (0..400_000).map(|_| random.normal()).collect();
        for (limit, tail) in [(1.0, 0.317_310), (2.0, 0.045_500_2), (3.0, 0.002_699_8)] {
            #[allow(clippy::cast_precision_loss)]
            let share = draws.iter().filter(|x| x.abs() > limit).count() as f64 / 400_000.0;
            let deviation = f64::sqrt(tail * (1.0 - tail) / 400_000.0);
            assert!((share - tail).abs() < 4.0 * deviation, "beyond {limit}: {share}, not {tail}");
        }
    }
}
