//! The effective number of independent frames of a rest, and whether the recording shows its slowest noise.
//!
//! The method is blocking: means over blocks of many lengths (H. Flyvbjerg and H. G. Petersen, Journal of Chemical
//! Physics 91, 1989, from memory). For white noise the variance of a block mean is the variance of a frame divided by
//! the length of the block. For slower noise it is larger by a factor: the number of frames that count as one
//! independent frame. The factor rises with the length until the blocks are much longer than the correlation time.
//! Where it still rises at the longest blocks, the recording is too short for the slowest noise. A variance of few
//! means is itself uncertain, so the factor is taken at its upper 95 % bound.

use statrs::distribution::{ChiSquared, ContinuousCDF, FisherSnedecor};

/// The shortest block, in frames; the blocks of each next level are twice as long.
const SHORTEST: usize = 64;
/// The fewest blocks of a level that counts for the effective number of frames. Its factor is then known to about a
/// third.
const COUNTED: usize = 16;
/// The fewest blocks of a level that shows whether the factor still rises.
const ASKED: usize = 8;
/// The longest blocks are compared with those this many levels below: a factor of 8 in length.
const LEVELS_BELOW: usize = 3;
/// Confidence of the finding that the factor rises: 1 of 100 recordings whose factor does not rise seems to rise.
const SURE: f64 = 0.99;
/// Slower noise below this share of the deviation changes a rate by less than a tenth.
const SLIGHT: f64 = 0.05;

/// The result of blocking a rest.
#[derive(Clone, Copy, Debug)]
pub(super) struct Blocks {
    /// Frames per independent frame, 1 or more.
    pub(super) repeats: f64,
    /// Where the factor still rises: the deviation of the means of the longest blocks that shorter blocks do not
    /// explain, in points.
    pub(super) wander: Option<f64>,
}

/// One length of blocks.
struct Level {
    length: f64,
    blocks: usize,
    variance: f64,
}

impl Blocks {
    /// Takes the means of two or more blocks of 64 frames, and the variance of the readings.
    pub(super) fn of(means: &[f64], variance: f64) -> Self {
        let mut levels = Vec::new();
        let mut means = means.to_vec();
        let mut length = as_f64(SHORTEST);
        while means.len() >= ASKED || levels.is_empty() {
            levels.push(Level { length, blocks: means.len(), variance: variance_of(&means) });
            means = means.chunks_exact(2).map(|pair| f64::midpoint(pair[0], pair[1])).collect();
            length *= 2.0;
        }
        if variance <= 0.0 {
            return Self { repeats: 1.0, wander: None };
        }
        let factor = |level: &Level| level.length * level.variance / variance;
        // With fewer blocks the factor is used without a bound.
        let bound = |level: &Level| if level.blocks >= COUNTED { factor(level) * level.doubt() } else { factor(level) };
        let counted = levels.iter().enumerate().filter(|(n, level)| *n == 0 || level.blocks >= COUNTED);
        let repeats = counted.map(|(_, level)| bound(level)).fold(1.0, f64::max);
        let longest = &levels[levels.len() - 1];
        let below = &levels[levels.len().saturating_sub(1 + LEVELS_BELOW)];
        let before = factor(below).max(1.0);
        let unexplained = (longest.variance - before * variance / longest.length).max(0.0).sqrt();
        let rises = longest.blocks >= ASKED && factor(longest) > longest.rises_over(below) * before;
        let rises = rises && unexplained > SLIGHT * variance.sqrt();
        Self { repeats, wander: rises.then_some(unexplained) }
    }
}

impl Level {
    fn freedom(&self) -> f64 {
        as_f64(self.blocks.max(2) - 1)
    }

    /// Upper 95 % bound of the true variance, as a multiple of the measured one.
    fn doubt(&self) -> f64 {
        ChiSquared::new(self.freedom()).map_or(f64::INFINITY, |squares| self.freedom() / squares.inverse_cdf(0.05))
    }

    /// The largest ratio of the variances of two levels that chance explains.
    fn rises_over(&self, other: &Self) -> f64 {
        // A single level is compared with the variance of single frames, which is known much better.
        let other = if self.length > other.length { other.freedom() } else { 1e6 };
        FisherSnedecor::new(self.freedom(), other).map_or(f64::INFINITY, |ratio| ratio.inverse_cdf(SURE))
    }
}

fn variance_of(means: &[f64]) -> f64 {
    let middle = means.iter().sum::<f64>() / as_f64(means.len());
    means.iter().map(|mean| (mean - middle).powi(2)).sum::<f64>() / as_f64(means.len().max(2) - 1)
}

/// A count.
#[allow(clippy::cast_precision_loss)] // below 2^53
fn as_f64(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use seeded::Random;

    /// Block means of white noise of variance 1, with a slow part added to them.
    fn blocks(count: u32, slow: impl Fn(u32, &mut Random) -> f64, variance: f64) -> Blocks {
        let mut rng = Random::stream(4, 0);
        let means = (0..count).map(|n| rng.normal() / 8.0 + slow(n, &mut rng)).collect::<Vec<_>>();
        Blocks::of(&means, variance)
    }

    /// Given white noise, then about every frame counts. Given a part that stays for four blocks, then its frames count
    /// as one.
    #[test]
    fn frames_that_repeat_each_other_are_counted_once() {
        let white = blocks(512, |_, _| 0.0, 1.0);
        assert!(white.repeats < 3.0 && white.wander.is_none(), "{white:?}");
        let held = std::cell::Cell::new(0.0);
        let slow = blocks(
            4096,
            |n, rng| {
                if n % 4 == 0 {
                    held.set(rng.normal());
                }
                held.get()
            },
            2.0,
        );
        // Half of the variance stays for 256 frames.
        assert!((128.0..320.0).contains(&slow.repeats) && slow.wander.is_none(), "{slow:?}");
    }

    /// Given a slow swing over the whole recording, then the factor still rises. Given a swing too small to matter,
    /// then it does not.
    #[test]
    fn noise_slower_than_the_recording_is_found() {
        let swing = |size: f64| move |n: u32, _: &mut Random| size * (f64::from(n) / 30.0).sin();
        let wide = blocks(94, swing(0.5), 1.1);
        assert!(wide.wander.is_some_and(|wander| (0.05..0.6).contains(&wander)), "{wide:?}");
        assert!(blocks(94, swing(0.01), 1.0).wander.is_none());
    }
}
