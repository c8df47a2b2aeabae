//! The noise of a rest, computed once from exact sums, on request.

use super::lengths::BLOCK;
use super::sums::Sums;
use super::whole::{floor, in_256ths, ratio, saturate_u32};

/// The noise of one axis at rest. Distances are in steps of its readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RestNoise {
    /// Number of frames counted, a multiple of 64.
    pub frames: u32,
    /// Effective number of independent frames: the counted frames over the integrated correlation of the noise. That is
    /// the largest of `L * variance of the means of L frames / variance` for L = 64, 128, 256, .. with 16 blocks or
    /// more, each taken at its upper 95 % confidence bound.
    pub independent: u32,
    /// Whether the rest wanders: the means of the longest blocks of which there are 8 or more vary much more than those
    /// of blocks an eighth as long explain. Noise slower than the rest was long is then unknown.
    pub wanders: bool,
    /// The mean, to the nearest step.
    pub centre: u16,
    /// The mean in 256ths of a step, rounded down.
    pub mean: u32,
    /// The variance about the mean, in 256ths of a squared step, rounded down; it saturates.
    pub variance: u32,
    /// One minus the correlation of a frame with the next frame, and with the frame after that, in units of 2^-20: half
    /// the variance of their difference over the variance. White noise has about 2^20, slow noise nearly 0, and noise
    /// that changes sides with every frame up to 2^21.
    pub fresh: [u32; 2],
    /// Quantisation step: the smallest non-zero difference between a reading and the next one; 0 where no reading
    /// changed.
    pub step: u16,
    /// The smallest reading.
    pub low: u16,
    /// The largest reading.
    pub high: u16,
    /// The mean of the 64 frames before the counted ones, from which `rows` and `far` are measured.
    pub reference: u16,
    /// Largest distances from the reference that one frame, two frames in a row and three frames in a row reached.
    pub rows: [u16; 3],
    /// Number of frames at least 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, .. 896 steps from the reference; it saturates.
    pub far: [u16; 28],
}

impl RestNoise {
    /// Computes the noise from two blocks or more. The meter fills in the figures of single frames.
    pub(super) fn of(blocks: u32, reference: u16, sums: &Sums) -> Self {
        let frames = blocks.wrapping_mul(BLOCK);
        // The mean relative to the reference, in 256ths; within 2^20 either side of 0.
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

    /// Difference between the largest and the smallest reading.
    pub const fn peak_to_peak(&self) -> u16 {
        self.high.saturating_sub(self.low)
    }
}

/// Index in `far` at which a distance is counted; `None` where it is below the first.
pub(super) fn place(steps: u32) -> Option<usize> {
    // Four entries for each power of two: from the exponent, and the two bits after the leading one.
    let power = steps.checked_ilog2()?.checked_sub(3)?;
    let quarter = steps.wrapping_shr(power.wrapping_add(1)) & 3;
    Some(power.wrapping_mul(4).wrapping_add(quarter).min(27) as usize)
}

/// The smallest distance that is counted at this index: the inverse of `place`.
pub(super) const fn distance(place: u32) -> u32 {
    (4 | place & 3).wrapping_shl((place >> 2).wrapping_add(1))
}

/// Turns the number of frames in each class of distance into the number of frames as far or further.
pub(super) fn reached(counts: [u16; 28]) -> [u16; 28] {
    let mut far = counts;
    let mut further = 0_u16;
    for frames in far.iter_mut().rev() {
        further = further.saturating_add(*frames);
        *frames = further;
    }
    far
}

/// The variance of all counted frames, in 256ths: (n S2 - S1^2) / (n (n - 1)), exact except for its last place.
fn variance(frames: u32, sums: &Sums) -> u32 {
    let n = u64::from(frames);
    let all = u64::from(sums.all.unsigned_abs());
    // Both below 2^58, n (n - 1) below 2^34.
    let spread = n.wrapping_mul(sums.squares).saturating_sub(all.wrapping_mul(all));
    saturate_u32(in_256ths(spread, n.wrapping_mul(n.saturating_sub(1))))
}

/// Half the variance of a difference over the variance, in units of 2^-20. `steps` is below 2^43.
fn fresh(steps: u64, frames: u32, variance: u32) -> u32 {
    const WHOLE: u32 = 1 << 20;
    if variance == 0 {
        return WHOLE; // no reading changed: no correlation
    }
    let half = ratio(steps << 7, u64::from(frames));
    saturate_u32(ratio(half << 20, variance.into())).min(2 * WHOLE)
}
