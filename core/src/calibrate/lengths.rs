//! Sums over blocks of 64, 128, 256, .. frames, which give the correlation of the noise in time.
//!
//! Level j has blocks of 64 * 2^j frames. Two blocks of a level make one block of the next level. Each level keeps the
//! sum of the block that has no partner yet, and the sum of all squared block sums.

use super::whole::{in_256ths, ratio, saturate_u32};

/// Number of frames in a block of level 0, a power of two.
pub(super) const BLOCK: u32 = 64;

/// Levels 0 to 8. In the longest rest, level 8 has 8 blocks.
const LEVELS: usize = 9;

/// The integrated correlation is taken from levels with this many blocks or more.
const ENOUGH_BLOCKS: u32 = 16;

/// Whether the rest wanders is decided on the longest level with this many blocks or more.
const FEWEST_BLOCKS: u32 = 8;

/// Upper 95 % confidence bound of a variance of 16, 32, 64, .. block means, as a factor in 256ths: the degrees of
/// freedom over the 5 % point of a chi-square distribution with 15, 31, 63, .. degrees of freedom (computed, rounded
/// up).
const BOUNDS: [u32; 8] = [529, 412, 353, 319, 299, 285, 276, 270];

/// Factor, in 256ths, by which the spread of the 8 to 15 longest means exceeds that of 8 times as many shorter means in
/// 1 of 100 rests whose noise is no slower: the 99 % point of an F distribution (computed, rounded up).
const RISES: [u32; 8] = [752, 710, 676, 649, 625, 605, 588, 573];

/// Block sums of every level.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lengths {
    /// Sum of the block that has no partner yet; valid while this level has an odd number of blocks. At level j within
    /// 2^(18 + j) either side of 0.
    waiting: [i32; LEVELS - 1],
    /// Sums of squared block sums; at level j below 2^(47 + j).
    squares: [u64; LEVELS],
}

/// Correlation of the noise in time.
pub(super) struct Correlation {
    /// Effective number of independent frames.
    pub(super) independent: u32,
    /// Whether the means of the longest blocks vary much more than those of shorter blocks explain.
    pub(super) wanders: bool,
}

impl Lengths {
    pub(super) const EMPTY: Self = Self { waiting: [0; LEVELS - 1], squares: [0; LEVELS] };

    /// Takes in the sum of a block of 64 frames; `blocks` is the number of blocks before it.
    pub(super) fn add(&mut self, block: i32, blocks: u16) {
        let mut sum = block;
        let mut waiting = self.waiting.iter_mut();
        for (level, squares) in (0..).zip(&mut self.squares) {
            *squares = squares.wrapping_add(wide_square(sum));
            let Some(waiting) = waiting.next() else { return };
            if blocks.wrapping_shr(level) & 1 == 0 {
                *waiting = sum;
                return;
            }
            sum = sum.wrapping_add(*waiting);
        }
    }

    /// The correlation after `blocks` blocks of 64 frames. `all` is the sum of all frames, `variance` their variance in
    /// 256ths.
    pub(super) fn correlation(&self, blocks: u32, all: i32, variance: u32) -> Correlation {
        let variance = u64::from(variance);
        // Where frames are independent, each of these is the variance of a frame.
        let mut spread = [0_u64; LEVELS];
        let (mut most, mut longest) = (0, 0_u32);
        let mut covered = all;
        let levels = self.squares.iter().zip(&mut spread);
        for (level, (&squares, spread)) in (0_u32..).zip(levels) {
            let count = blocks.wrapping_shr(level);
            *spread = level_spread(level, count, squares, [covered, all], blocks);
            if level == 0 || count >= ENOUGH_BLOCKS {
                most = most.max(spread.saturating_mul(bound(count)) >> 8);
            }
            if count >= FEWEST_BLOCKS {
                longest = level;
            }
            // The next level does not cover the block without a partner.
            if count & 1 == 1 {
                let waiting = self.waiting.get(level as usize).copied().unwrap_or(0);
                covered = covered.wrapping_sub(waiting);
            }
        }
        let frames = u64::from(blocks).wrapping_mul(BLOCK.into());
        // The product is below 2^17 * 2^32.
        let independent = ratio(frames.wrapping_mul(variance), most.max(variance).max(1));
        let independent = if variance == 0 { frames } else { independent };
        let of = |level: u32| spread.get(level as usize).copied().unwrap_or(0);
        let [last, before] = [longest, longest.saturating_sub(3)].map(of);
        let before = before.max(variance);
        // `slow`: the slow part of the longest means has a standard deviation above 0.05 of that of a frame; 1/400 is
        // the square of 0.05. The spread is below 2^46 and a block has at most 2^14 frames.
        let slow = last.saturating_sub(before).wrapping_mul(400) > variance.wrapping_mul(u64::from(BLOCK) << longest);
        let count = blocks.wrapping_shr(longest).saturating_sub(FEWEST_BLOCKS) as usize;
        let chance = RISES.get(count).or(RISES.last()).copied().map_or(0, u64::from);
        let rises = last.saturating_mul(256) > before.saturating_mul(chance);
        Correlation { independent: saturate_u32(independent), wanders: rises && slow }
    }
}

/// The factor in `BOUNDS` for a variance of this many block means; 1 for fewer than 16.
fn bound(count: u32) -> u64 {
    let place = count.checked_ilog2().and_then(|power| power.checked_sub(4));
    let bound = place.map(|place| BOUNDS.get(place as usize).or(BOUNDS.last()).copied());
    bound.flatten().map_or(256, u64::from)
}

/// The variance of the block means of a level about the mean of all frames, times the number of frames in a block; in
/// 256ths.
///
/// `covered` is the sum of the `count` blocks of this level, `all` the sum of `blocks` blocks of 64 frames.
fn level_spread(level: u32, count: u32, squares: u64, [covered, all]: [i32; 2], blocks: u32) -> u64 {
    let k = u64::from(count);
    // The sum of the covered frames if each were the mean of all: within 2^29; the product is within 2^41.
    let expected =
        i64::from(all).wrapping_mul(i64::from(count.wrapping_shl(level))).checked_div(i64::from(blocks)).unwrap_or(0);
    let off = i64::from(covered).wrapping_sub(expected).unsigned_abs();
    let own = u64::from(covered.unsigned_abs());
    // k times the sum of squares about the mean of all. Each term is at most 2^58, and `off` at most 2^30.
    let about_own = k.wrapping_mul(squares).saturating_sub(own.wrapping_mul(own));
    let about_all = about_own.saturating_add(off.saturating_mul(off));
    in_256ths(about_all, k.wrapping_mul(k.saturating_sub(1)).wrapping_mul(u64::from(BLOCK) << level))
}

/// The square, in 64 bits; `x` is at most 2^26.
const fn wide_square(x: i32) -> u64 {
    let size = x.unsigned_abs() as u64;
    size.wrapping_mul(size)
}
