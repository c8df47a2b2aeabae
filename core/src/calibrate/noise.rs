//! What a rest was like: worked out once from exact sums, when it is asked for.

use super::sums::{BLOCK, LONG, Sums};

/// The rest of one axis, in steps of its readings.
///
/// Two variances. [`variance`](Self::variance) is of everything, what any statistics program makes of the same readings.
/// [`fast`](Self::fast) leaves out what moves no faster than tens of seconds, which [`drift`](Self::drift) holds: with it
/// a stick that warms up is not taken for one that shakes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RestNoise {
    /// How many frames were counted, a multiple of 64.
    pub frames: u32,
    /// Of how many that know nothing of each other they are worth: slow noise repeats itself.
    pub independent: u32,
    /// The mean, to the nearest step.
    pub centre: u16,
    /// The mean in 256ths of a step, rounded down.
    pub mean: u32,
    /// The variance about the mean, in 256ths of a squared step, rounded down; it saturates.
    pub variance: u32,
    /// The variance without slow drift: within blocks of 64 frames, and between neighbouring ones. In the same unit.
    pub fast: u32,
    /// The furthest that the mean of 512 frames was from the mean of all, in 256ths of a step.
    pub drift: u32,
    /// How much is new in a frame after one, and after two: half the variance of their difference over `fast`, which is 1
    /// less their correlation, in 2^-20ths. White noise has about 2^20, slow noise next to nothing, and noise that
    /// changes sides with every frame up to 2^21.
    pub fresh: [u32; 2],
    /// The least reading.
    pub low: u16,
    /// The greatest reading.
    pub high: u16,
    /// The largest distance from the reference that one frame had, that two in a row had, and that three had.
    pub rows: [u16; 3],
    /// How many frames were at least 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, .. 896 steps from the reference; it saturates.
    pub far: [u16; 28],
}

impl RestNoise {
    /// Of two blocks or more.
    pub(super) fn of(
        blocks: u32,
        reference: u16,
        [low, high]: [u16; 2],
        (rows, counts): ([u16; 3], [u16; 28]),
        sums: &Sums,
    ) -> Self {
        let frames = blocks.wrapping_mul(BLOCK);
        let fast = fast(blocks, sums);
        let between = blocks_apart(blocks, sums);
        // What is left of a mean after the reference, in 256ths; within 2^20 either side of 0.
        let mean_off = floor(i64::from(sums.all).wrapping_mul(256), frames);
        let mean = i64::from(reference).wrapping_mul(256).saturating_add(mean_off).unsigned_abs();
        Self {
            frames,
            independent: worth(frames, fast, between),
            centre: u16::try_from(mean.wrapping_add(128) >> 8).unwrap_or(u16::MAX),
            mean: small(mean),
            variance: variance(frames, sums),
            fast: small(fast),
            drift: drift(sums, mean_off),
            fresh: sums.steps.map(|steps| fresh(steps, frames, fast)),
            low,
            high,
            rows,
            far: far(counts),
        }
    }

    /// From the least reading to the greatest.
    pub const fn peak_to_peak(&self) -> u16 {
        self.high.saturating_sub(self.low)
    }
}

/// Where a distance is counted in `far`; `None` where it is below the first.
pub(super) fn place(steps: u32) -> Option<usize> {
    // Four to every power of two: its place, and the two bits behind the first.
    let power = steps.checked_ilog2()?.checked_sub(3)?;
    let quarter = steps.wrapping_shr(power.wrapping_add(1)) & 3;
    Some(power.wrapping_mul(4).wrapping_add(quarter).min(27) as usize)
}

/// From how many frames there were of each distance to how many were as far or further.
fn far(counts: [u16; 28]) -> [u16; 28] {
    let mut far = counts;
    let mut further = 0_u16;
    for frames in far.iter_mut().rev() {
        further = further.saturating_add(*frames);
        *frames = further;
    }
    far
}

/// The variance of everything, in 256ths: (n S2 - S1^2) / (n (n - 1)), exact but for its last place.
fn variance(frames: u32, sums: &Sums) -> u32 {
    let n = u64::from(frames);
    let all = u64::from(sums.all.unsigned_abs());
    // Both below 2^58, n (n - 1) below 2^34.
    let spread = n.wrapping_mul(sums.squares).saturating_sub(all.wrapping_mul(all));
    let divisor = n.wrapping_mul(n.saturating_sub(1));
    let whole = ratio(spread, divisor);
    let left = spread.wrapping_sub(whole.wrapping_mul(divisor));
    small((whole << 8).wrapping_add(ratio(left << 8, divisor)))
}

/// The variance within blocks and of the noise of their means, in 256ths.
fn fast(blocks: u32, sums: &Sums) -> u64 {
    // 64 S2 - sum of M^2 is 64^2 per block of the variance within blocks, about each block's own mean. Below 2^47.
    let within = sums.squares.wrapping_mul(u64::from(BLOCK)).saturating_sub(sums.blocks_squared);
    ratio(within << 8, u64::from(blocks) << 12).wrapping_add(blocks_apart(blocks, sums))
}

/// Half the mean squared difference of neighbouring blocks' means, in 256ths: their variance, were there no drift.
fn blocks_apart(blocks: u32, sums: &Sums) -> u64 {
    ratio(sums.blocks_steps << 7, u64::from(blocks.saturating_sub(1)) << 12)
}

/// Of white noise the mean of a block has a 64th of the variance; the larger it is, the fewer frames are independent.
fn worth(frames: u32, fast: u64, between: u64) -> u32 {
    let repeats = between.wrapping_mul(u64::from(BLOCK));
    if repeats <= fast { frames } else { small(ratio(u64::from(frames).wrapping_mul(fast), repeats)) }
}

/// The furthest mean of a long block from the mean of all, in 256ths. Sums of long blocks are within 2^21.
fn drift(sums: &Sums, mean_off: i64) -> u32 {
    let Some(range) = sums.long_range else { return 0 };
    let off = range.map(|sum| {
        let mean = floor(i64::from(sum).wrapping_mul(256), BLOCK.wrapping_mul(u32::from(LONG)));
        small(mean.abs_diff(mean_off))
    });
    let [least, most] = off;
    least.max(most)
}

/// Half the variance of a difference over the variance, in 2^-20ths. The steps are below 2^43.
fn fresh(steps: u64, frames: u32, fast: u64) -> u32 {
    const WHOLE: u32 = 1 << 20;
    if fast == 0 {
        return WHOLE; // nothing moved, and nothing is alike
    }
    let half = ratio(steps << 7, u64::from(frames));
    small(ratio(half << 20, fast)).min(2 * WHOLE)
}

fn ratio(a: u64, b: u64) -> u64 {
    a.checked_div(b).unwrap_or(0)
}

fn floor(a: i64, by: u32) -> i64 {
    a.checked_div_euclid(i64::from(by)).unwrap_or(0)
}

pub(super) fn small(x: u64) -> u32 {
    u32::try_from(x).unwrap_or(u32::MAX)
}
