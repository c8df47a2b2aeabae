//! Noise with a memory.

use seeded::Random;

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
    pub(crate) fn next(self, last: f64, rng: &mut Random) -> f64 {
        last * self.keep + rng.normal() * self.fresh
    }
}
