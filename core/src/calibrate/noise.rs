//! What a rest was like: worked out once from exact sums, when it is asked for.

use super::sums::{BLOCK, Sums};
use super::whole::{floor, in_256ths, ratio, saturate_u32};

/// The rest of one axis, in steps of its readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RestNoise {
    /// How many frames were counted, a multiple of 64.
    pub frames: u32,
    /// Effective number of independent frames: the counted frames over the integrated correlation of the noise, which is
    /// the largest of `L * variance of the means of L frames / variance` for L = 64, 128, 256, .. with 16 blocks or more.
    pub independent: u32,
    /// Whether the rest wanders: the means of the longest blocks of which there are 8 or more vary much more than those of
    /// blocks an eighth as long explain. Noise that is slower than the rest was long is then not known.
    pub wanders: bool,
    /// The mean, to the nearest step.
    pub centre: u16,
    /// The mean in 256ths of a step, rounded down.
    pub mean: u32,
    /// The variance about the mean, in 256ths of a squared step, rounded down; it saturates.
    pub variance: u32,
    /// How much is new in a frame after one, and after two: half the variance of their difference over the variance, which
    /// is 1 less their correlation, in 2^-20ths. White noise has about 2^20, slow noise next to nothing, and noise that
    /// changes sides with every frame up to 2^21.
    pub fresh: [u32; 2],
    /// The least non-zero difference between a reading and the next one, the quantisation step; 0 where nothing changed.
    pub step: u16,
    /// The least reading.
    pub low: u16,
    /// The greatest reading.
    pub high: u16,
    /// The mean of the 64 frames before the counted ones, from which `rows` and `far` are measured.
    pub reference: u16,
    /// The largest distance from the reference that one frame had, that two in a row had, and that three had.
    pub rows: [u16; 3],
    /// How many frames were at least 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, .. 896 steps from the reference; it saturates.
    pub far: [u16; 28],
}

impl RestNoise {
    /// Of two blocks or more. What is known of single frames is left for the meter to fill in.
    pub(super) fn of(blocks: u32, reference: u16, sums: &Sums) -> Self {
        let frames = blocks.wrapping_mul(BLOCK);
        // What is left of a mean after the reference, in 256ths; within 2^20 either side of 0.
        let mean_off = floor(i64::from(sums.all).wrapping_mul(256), frames);
        let mean = i64::from(reference).wrapping_mul(256).saturating_add(mean_off).unsigned_abs();
        let variance = variance(frames, sums);
        let correlation = sums.lengths.correlation(blocks, sums.all, variance);
        Self {
            frames,
            independent: correlation.independent,
            wanders: correlation.wanders,
            centre: u16::try_from(mean.wrapping_add(128) >> 8).unwrap_or(u16::MAX),
            mean: saturate_u32(mean),
            variance,
            fresh: sums.steps.map(|steps| fresh(steps, frames, variance)),
            reference,
            ..Self::default()
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

/// The least distance that is counted there: the inverse of `place`.
pub(super) const fn distance(place: u32) -> u32 {
    (4 | place & 3).wrapping_shl((place >> 2).wrapping_add(1))
}

/// From how many frames there were of each distance to how many were as far or further.
pub(super) fn reached(counts: [u16; 28]) -> [u16; 28] {
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
    saturate_u32(in_256ths(spread, n.wrapping_mul(n.saturating_sub(1))))
}

/// Half the variance of a difference over the variance, in 2^-20ths. The steps are below 2^43.
fn fresh(steps: u64, frames: u32, variance: u32) -> u32 {
    const WHOLE: u32 = 1 << 20;
    if variance == 0 {
        return WHOLE; // nothing moved, and nothing is alike
    }
    let half = ratio(steps << 7, u64::from(frames));
    saturate_u32(ratio(half << 20, variance.into())).min(2 * WHOLE)
}
