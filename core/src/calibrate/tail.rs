//! How many standard deviations away a threshold must be, so that noise passes it at most once in a return period.
//!
//! Tables replace logarithms and normal tails. They are for normal noise with correlated neighbouring frames:
//!
//! - a takeover with `confirm` 1 is a frame beyond the threshold, on either side, next to a frame that is not;
//! - a takeover with `confirm` 2 or 3 ends a row of 2 or 3 frames beyond the threshold, and is no more frequent than
//!   these rows, nor than the takeovers with `confirm` 1.
//!
//! `tables.rs` holds the resulting distances, by return period and correlation.

use super::tables::{CROSSING, FIRST, NEW_BITS, PARTIAL_BITS, PERIOD_BITS, SLOWEST, THREE, TWO};

/// Return period of an event: at most one in 2^L frames, L in 256ths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct ReturnPeriod(u32);

impl ReturnPeriod {
    /// One in `frames`. The logarithm is never too small, and too large by at most 1/20.
    pub(super) const fn one_in(frames: u64) -> Self {
        let Some(whole) = frames.checked_ilog2() else { return Self(0) };
        // x is the first 8 bits after the leading one: log2(1 + x) is within 0.008 of x + 0.344 x (1 - x). The bits
        // after these 8 add less than 0.006.
        let part = ((frames << (63_u32.saturating_sub(whole))) >> 55) as u32 & 255;
        let bend = part.wrapping_mul(256_u32.wrapping_sub(part)).wrapping_mul(88) >> 16;
        Self(whole.wrapping_mul(256).wrapping_add(part).wrapping_add(bend).wrapping_add(5))
    }

    /// The return period of an event that happens 2^`powers` times less often.
    pub(super) const fn longer(self, powers: u32) -> Self {
        Self(self.0.saturating_add(powers.saturating_mul(256)))
    }

    /// The return period of an event that happens 2^`powers` times as often.
    pub(super) const fn shorter(self, powers: u32) -> Self {
        Self(self.0.saturating_sub(powers.saturating_mul(256)))
    }

    /// The return period of a row of `count` independent events.
    pub(super) const fn of_a_row(self, count: u8) -> Self {
        Self(self.0.saturating_mul(count as u32))
    }

    /// Whether a rest of `frames` is not expected to show the event: at most once in 256 rests of this length.
    pub(super) const fn outlasts(self, frames: u32) -> bool {
        self.0 >= Self::one_in(frames as u64).longer(8).0
    }

    /// The period to look up for noise that is slower than the first column. Its crossings are rarer in proportion to
    /// `new`, so the period is shorter by the same factor.
    const fn slower(self, new: u32) -> Self {
        let Self(rarer) = Self::one_in(SLOWEST as u64);
        let Self(log) = Self::one_in(new as u64);
        Self(self.0.saturating_add(log).saturating_sub(rarer))
    }
}

/// Correlation of neighbouring frames.
#[derive(Clone, Copy, Debug)]
pub(super) struct Colour {
    /// s of `tables.rs`, in units of 2^-14; 1 or more.
    new: u32,
    /// p of `tables.rs`, in units of 2^-14.
    partial: u32,
}

impl Colour {
    /// From one minus the correlation after one frame, and after two; in units of 2^-20, see
    /// [`RestNoise::fresh`](super::RestNoise::fresh).
    pub(super) fn new([one, two]: [u32; 2]) -> Self {
        const WHOLE: u32 = 1 << 20;
        // A negative correlation of neighbours counts as a positive one, since T1 counts both sides.
        let one = if one > WHOLE { (2 * WHOLE).saturating_sub(one) } else { one };
        let one = one.max(1);
        // 1 - r^2 = (1 - r) (1 + r). With r2, the correlation of the outer two, 1 + r' = 2 - (1 - r2) / (1 - r^2). The
        // product is below 2^42.
        let unlike = u64::from(one).wrapping_mul(u64::from((2 * WHOLE).saturating_sub(one)));
        let outer = (u64::from(two) << 40).checked_div(unlike).unwrap_or(u64::MAX);
        let partial = (u64::from(WHOLE) << 1).saturating_sub(outer);
        #[allow(clippy::cast_possible_truncation)] // below 2^15
        Self { new: one.wrapping_shl(8).isqrt().max(1), partial: (partial << 8).isqrt() as u32 }
    }

    /// The noise of the distance between two readings, one of which stays the same (R2): half of its variance is common
    /// to all frames.
    pub(super) fn of_distance([one, two]: [u32; 2]) -> Self {
        Self::new([one >> 1, two >> 1])
    }
}

/// The distance, in units of 2^-10 standard deviations, that `confirm` frames in a row pass at most once in `frames`,
/// on either side. The noise is normal, of any bandwidth. A `confirm` of 0 counts as 1, a `confirm` above 3 as 3, and
/// `frames` below 256 as 256.
///
/// `fresh` is the correlation of the noise, as in a [`RestNoise`](super::RestNoise).
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

/// [`deviations`] for a return period and a correlation.
pub(super) fn beyond(period: ReturnPeriod, confirm: u8, colour: Colour) -> u32 {
    let Colour { new, partial } = colour;
    let across = new.saturating_sub(SLOWEST);
    let crossing = if new < SLOWEST { period.slower(new) } else { period };
    let crossing = line(&CROSSING, crossing.place(), PERIOD_BITS, |row| line(row, across, NEW_BITS, |&z| z.into()));
    // Noise slower than the first column seldom leaves a row within three frames.
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

/// The value at `partial`. Between the first two entries the curve is steep, so the larger entry is used.
fn swaying(column: &[u16; 6], partial: u32) -> u32 {
    let [first, second, ..] = *column;
    if partial < 1 << PARTIAL_BITS {
        first.max(second).into()
    } else {
        line(column, partial, PARTIAL_BITS, |&z| z.into())
    }
}

impl ReturnPeriod {
    /// Position in the tables; a period shorter than the first row counts as the first row.
    const fn place(self) -> u32 {
        self.0.saturating_sub(FIRST)
    }
}

/// Linear interpolation between two entries, rounded up; past the last entry, the last entry.
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
