//! Normal random numbers for the simulated sticks.

use std::f64::consts::TAU;

use seeded::Random;

/// A normal random number of mean 0 and variance 1 (Box and Muller, Annals of Mathematical Statistics 29, 1958).
/// [`Random::normal`] has another method; the committed table of what thresholds claim
/// (`examples/lesson/THRESHOLDS.md`) was drawn with this one.
pub fn normal(random: &mut Random) -> f64 {
    (-2.0 * (1.0 - random.unit()).ln()).sqrt() * (TAU * random.unit()).cos()
}
