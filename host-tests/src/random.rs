//! Seeded chance for simulated sticks and people, the same on every machine.

use std::f64::consts::TAU;

/// `SplitMix64` (Steele, Lea and Flood, Fast splittable pseudorandom number generators, OOPSLA 2014), by its seed.
#[derive(Clone, Debug)]
pub struct Random(pub u64);

impl Random {
    /// 64 random bits.
    #[allow(clippy::should_implement_trait)] // it never ends
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let x = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        x ^ (x >> 31)
    }

    /// From 0 to below 1.
    #[allow(clippy::cast_precision_loss)] // 53 bits
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two limits.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.unit()
    }

    /// From 0 to below `count`.
    ///
    /// # Panics
    /// For a count of 0.
    pub fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).expect("small")
    }

    /// True with this probability.
    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    /// Normal, of variance 1 (Box and Muller, Annals of Mathematical Statistics 29, 1958).
    pub fn normal(&mut self) -> f64 {
        (-2.0 * (1.0 - self.unit()).ln()).sqrt() * (TAU * self.unit()).cos()
    }
}
