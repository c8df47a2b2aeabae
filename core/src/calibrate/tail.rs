//! How many standard deviations away a threshold must be, so that noise passes it seldom enough.
//!
//! Tables instead of logarithms and normal tails, for normal noise of which neighbouring frames know something:
//!
//! - a takeover with `confirm` 1 is one of two neighbours that is beyond, on either side, while the other is not;
//! - one with 2 or 3 ends a row of so many frames that are beyond, and is no more frequent than such rows, nor than
//!   the takeovers with `confirm` 1.
//!
//! `tables.rs` holds what that makes of how rare an event is and of how new frames are.

use super::tables::{CROSSING, FIRST, NEW_BITS, PARTIAL_BITS, PERIOD_BITS, SLOWEST, THREE, TWO};

/// How rare an event is: at most one in 2^L frames, L in 256ths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct ReturnPeriod(u32);

impl ReturnPeriod {
    /// One in so many frames. The logarithm is never too small, and too large by at most 1/20.
    pub(super) const fn one_in(frames: u64) -> Self {
        let Some(whole) = frames.checked_ilog2() else { return Self(0) };
        // The first 8 bits after the leading one, x: log2(1 + x) is within 0.008 of x + 0.344 x (1 - x), and what is
        // behind the 8 bits makes less than 0.006.
        let part = ((frames << (63_u32.saturating_sub(whole))) >> 55) as u32 & 255;
        let bend = part.wrapping_mul(256_u32.wrapping_sub(part)).wrapping_mul(88) >> 16;
        Self(whole.wrapping_mul(256).wrapping_add(part).wrapping_add(bend).wrapping_add(5))
    }

    /// An event that may happen 2^`powers` times less often.
    pub(super) const fn longer(self, powers: u32) -> Self {
        Self(self.0.saturating_add(powers.saturating_mul(256)))
    }

    /// An event that may happen 2^`powers` times as often.
    pub(super) const fn shorter(self, powers: u32) -> Self {
        Self(self.0.saturating_sub(powers.saturating_mul(256)))
    }

    /// So many of them in a row, by chance.
    pub(super) const fn of_a_row(self, count: u8) -> Self {
        Self(self.0.saturating_mul(count as u32))
    }

    /// Whether it is so rare that a rest of so many frames is not expected to show it: once in 256 such rests, or less.
    pub(super) const fn outlasts(self, frames: u32) -> bool {
        self.0 >= Self::one_in(frames as u64).longer(8).0
    }

    /// Crossings of noise that is slower than the first column are as much rarer as it is slower.
    const fn slower(self, new: u32) -> Self {
        let Self(rarer) = Self::one_in(SLOWEST as u64);
        let Self(log) = Self::one_in(new as u64);
        Self(self.0.saturating_add(log).saturating_sub(rarer))
    }
}

/// How neighbouring frames hang together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Colour {
    /// s in 2^-14ths, 1 or more.
    new: u32,
    /// p in 2^-14ths.
    partial: u32,
}

impl Colour {
    /// Of noise of which so much is new after one frame, and after two; in 2^-20ths, see [`RestNoise::fresh`](super::RestNoise::fresh).
    pub(super) fn new([one, two]: [u32; 2]) -> Self {
        const WHOLE: u32 = 1 << 20;
        // Noise that changes sides with every frame is as alike as if it did not: either side counts.
        let one = if one > WHOLE { (2 * WHOLE).saturating_sub(one) } else { one };
        let one = one.max(1);
        // 1 - r^2 = (1 - r) (1 + r), and 1 + r' = 2 - (1 - the outer two's correlation) / that. Below 2^42.
        let unlike = u64::from(one).wrapping_mul(u64::from((2 * WHOLE).saturating_sub(one)));
        let outer = (u64::from(two) << 40).checked_div(unlike).unwrap_or(u64::MAX);
        let partial = (u64::from(WHOLE) << 1).saturating_sub(outer);
        #[allow(clippy::cast_possible_truncation)] // below 2^15
        Self { new: one.wrapping_shl(8).isqrt().max(1), partial: (partial << 8).isqrt() as u32 }
    }

    /// The noise of the distance between two readings of which one stays (R2): half of it is common to all frames.
    pub(super) fn of_distance([one, two]: [u32; 2]) -> Self {
        Self::new([one >> 1, two >> 1])
    }
}

/// How many standard deviations, in 2^-10ths, `confirm` frames in a row pass no more often than once in so many `frames`:
/// normal noise of any band, on either side. 4 and more in a row count as 3, less than one in 256 frames as that.
///
/// `fresh` says how slow the noise is, as in a [`RestNoise`](super::RestNoise).
///
/// ```
/// use handback::calibrate::deviations;
/// // White noise, 50 frames a second, once in 100 hours: one frame, two, three in a row.
/// let white = |confirm| deviations(18_000_000, confirm, [1 << 20; 2]) * 100 / 1024;
/// assert_eq!([white(1), white(2), white(3)], [544, 368, 290]);
/// // Noise that hardly changes from frame to frame: confirm is of no use.
/// let slow = |confirm| deviations(18_000_000, confirm, [10_486, 20_867]) * 100 / 1024;
/// assert_eq!([slow(1), slow(2), slow(3)], [522, 522, 522]);
/// ```
pub fn deviations(frames: u64, confirm: u8, fresh: [u32; 2]) -> u32 {
    beyond(ReturnPeriod::one_in(frames), confirm, Colour::new(fresh))
}

/// The same for a period.
pub(super) fn beyond(period: ReturnPeriod, confirm: u8, colour: Colour) -> u32 {
    let Colour { new, partial } = colour;
    let across = new.saturating_sub(SLOWEST);
    let crossing = if new < SLOWEST { period.slower(new) } else { period };
    let crossing = line(&CROSSING, crossing.place(), PERIOD_BITS, |row| line(row, across, NEW_BITS, |&z| z.into()));
    // Noise as slow as that seldom leaves a row within three frames.
    let rows = match confirm {
        _ if new < SLOWEST => u32::MAX,
        0 | 1 => u32::MAX,
        2 => line(&TWO, period.place(), PERIOD_BITS, |row| line(row, across, NEW_BITS, |&z| z.into())),
        _ => line(&THREE, period.place(), PERIOD_BITS, |row| {
            line(row, across, NEW_BITS, |column| swaying(column, partial))
        }),
    };
    crossing.min(rows).wrapping_shl(10).isqrt().saturating_add(1)
}

/// Between the first two entries the curve is steep, and the greater of them stands for it.
fn swaying(column: &[u16; 6], partial: u32) -> u32 {
    let [first, second, ..] = *column;
    if partial < 1 << PARTIAL_BITS {
        first.max(second).into()
    } else {
        line(column, partial, PARTIAL_BITS, |&z| z.into())
    }
}

impl ReturnPeriod {
    /// Where in the tables it is; what is less rare than their beginning counts as that.
    const fn place(self) -> u32 {
        self.0.saturating_sub(FIRST)
    }
}

/// The straight line between two entries; past the last entry it is that.
fn line<T>(entries: &[T], place: u32, bits: u32, value: impl Fn(&T) -> u32) -> u32 {
    let before = place.wrapping_shr(bits) as usize;
    let part = place & 1_u32.wrapping_shl(bits).wrapping_sub(1);
    match (entries.get(before), entries.get(before.saturating_add(1))) {
        (Some(from), Some(to)) => {
            // Values are below 2^16 and parts of at most 12 bits.
            let (from, to, whole) = (value(from), value(to), 1_u32.wrapping_shl(bits));
            let sum = from.wrapping_mul(whole.wrapping_sub(part)).wrapping_add(to.wrapping_mul(part));
            sum.wrapping_add(whole.wrapping_sub(1)).wrapping_shr(bits)
        }
        _ => entries.last().map_or(0, value),
    }
}
