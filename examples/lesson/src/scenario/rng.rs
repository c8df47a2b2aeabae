//! Seeded chance, the same on every machine.
//!
//! The generator is `SplitMix64` (Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014).
//! Everything that draws has a stream of its own, so that a change in one part of a lesson leaves the rest as it was.

/// One stream of chance.
#[derive(Clone, Debug)]
pub(crate) struct Rng {
    state: u64,
    /// The polar method makes two normal numbers at a time.
    spare: Option<f64>,
}

impl Rng {
    /// The stream of this number for this seed.
    pub(crate) fn new(seed: u64, stream: u64) -> Self {
        let mut streams = Self { state: seed, spare: None };
        let start = streams.next_u64() ^ stream.wrapping_mul(0xD1B5_4A32_D192_ED03);
        Self { state: start, spare: None }
    }

    fn next_u64(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = self.state;
        let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Uniform from 0 to just under 1.
    pub(crate) fn unit(&mut self) -> f64 {
        #[allow(clippy::cast_precision_loss)] // 53 bits fit exactly
        let mantissa = (self.next_u64() >> 11) as f64;
        mantissa / 9_007_199_254_740_992.0
    }

    /// Uniform between two limits.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// True with this probability.
    pub(crate) fn chance(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    /// -1 or 1.
    pub(crate) fn sign(&mut self) -> f64 {
        if self.chance(0.5) { 1.0 } else { -1.0 }
    }

    /// Normal with mean 0 and deviation 1, by Marsaglia's polar method.
    pub(crate) fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (x, y) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                let scale = (-2.0 * libm::log(square) / square).sqrt();
                self.spare = Some(y * scale);
                return x * scale;
            }
        }
    }
}

/// Coloured noise: what is left of the last value after a step, and the fresh part, so that the deviation stays 1.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Colour {
    keep: f64,
    fresh: f64,
}

impl Colour {
    /// Noise that forgets with this time constant, sampled every `dt`.
    pub(crate) fn new(time_constant_s: f64, dt: f64) -> Self {
        let keep = libm::exp(-dt / time_constant_s);
        Self { keep, fresh: (1.0 - keep * keep).sqrt() }
    }

    /// The value after this one.
    pub(crate) fn next(self, last: f64, rng: &mut Rng) -> f64 {
        last * self.keep + rng.normal() * self.fresh
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From memory: the widely used test vector of `SplitMix64` for the state 1234567.
    #[test]
    fn the_generator_gives_the_published_numbers() {
        let mut rng = Rng { state: 1_234_567, spare: None };
        let first: Vec<u64> = (0..5).map(|_| rng.next_u64()).collect();
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
        let mut rng = Rng::new(7, 0);
        let draws: Vec<f64> = (0..400_000).map(|_| rng.normal()).collect();
        for (limit, tail) in [(1.0, 0.317_310), (2.0, 0.045_500_2), (3.0, 0.002_699_8)] {
            #[allow(clippy::cast_precision_loss)]
            let share = draws.iter().filter(|x| x.abs() > limit).count() as f64 / 400_000.0;
            let deviation = f64::sqrt(tail * (1.0 - tail) / 400_000.0);
            assert!((share - tail).abs() < 4.0 * deviation, "beyond {limit}: {share}, not {tail}");
        }
    }
}
