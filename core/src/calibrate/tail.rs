//! How many standard deviations away a threshold must be, so that noise passes it seldom enough.
//!
//! Tables instead of logarithms and normal tails. An event as rare as one in 2^L frames is that two or three frames in a
//! row, or one, are beyond +-z: z follows from L, from how many there are in a row, and from how alike neighbouring
//! frames are. The entries are from this integral, which holds where any two of the frames have the correlation m:
//!
//! ```text
//! P(z, k, m) = integral over t of phi(t) [Q((z - t sqrt m) / sqrt(1 - m)) + Q((z + t sqrt m) / sqrt(1 - m))]^k
//! ```
//!
//! with the normal density phi and its tail Q; for m = 0 it is (2 Q(z))^k, and for m = 1, or one frame, 2 Q(z). Straight
//! lines between the entries are up to 0.020 below the curve, so every entry was made 0.021 larger: a looked-up z is
//! never too small. A test computes the integral anew and holds the tables to it.

/// The rarity of the first column, and the way to the next one, in 256ths of a power of two.
const FIRST: u32 = 8 * 256;
const STEP_BITS: u32 = 2;

/// For one frame, in 2^-10ths: L = 8, 12, .. 44. It is also where all frames are alike.
static ONE: [u16; 10] = [2977, 3778, 4451, 5041, 5572, 6059, 6512, 6936, 7337, 7718];

/// For two frames in a row; a row for each L as above, a column for each m = 0, 1/8, .. 7/8.
static TWO: [[u16; 8]; 10] = [
    [1929, 1960, 2044, 2161, 2288, 2419, 2556, 2709],
    [2498, 2557, 2693, 2847, 3002, 3158, 3318, 3492],
    [2977, 3067, 3242, 3422, 3599, 3776, 3956, 4148],
    [3398, 3519, 3723, 3924, 4122, 4317, 4515, 4724],
    [3778, 3928, 4155, 4376, 4592, 4804, 5018, 5242],
    [4127, 4303, 4550, 4789, 5022, 5251, 5479, 5717],
    [4451, 4651, 4916, 5172, 5421, 5665, 5907, 6158],
    [4754, 4976, 5259, 5531, 5794, 6052, 6308, 6572],
    [5041, 5284, 5582, 5869, 6147, 6418, 6687, 6962],
    [5313, 5575, 5889, 6190, 6481, 6765, 7046, 7332],
];

/// For three frames in a row.
static THREE: [[u16; 8]; 10] = [
    [1469, 1505, 1619, 1789, 1975, 2164, 2362, 2583],
    [1929, 2005, 2206, 2433, 2657, 2880, 3109, 3359],
    [2320, 2445, 2707, 2971, 3227, 3479, 3735, 4010],
    [2665, 2839, 3146, 3441, 3725, 4004, 4284, 4580],
    [2977, 3198, 3539, 3863, 4173, 4475, 4777, 5094],
    [3263, 3527, 3899, 4248, 4582, 4907, 5229, 5565],
    [3529, 3832, 4231, 4605, 4962, 5307, 5649, 6002],
    [3778, 4118, 4542, 4940, 5317, 5682, 6042, 6412],
    [4014, 4387, 4835, 5255, 5653, 6036, 6413, 6798],
    [4237, 4642, 5113, 5553, 5970, 6372, 6765, 7166],
];

/// How rare an event is: at most one in 2^L frames, L in 256ths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rarity(u32);

impl Rarity {
    /// One in so many frames. The logarithm is never too small, and too large by less than a tenth.
    pub(super) const fn one_in(frames: u64) -> Self {
        let Some(whole) = frames.checked_ilog2() else { return Self(0) };
        // The first 8 bits after the leading one. log2(1 + x) is above x by less than 23/256.
        let part = ((frames << (63_u32.saturating_sub(whole))) >> 55) as u32 & 255;
        Self(whole.wrapping_mul(256).wrapping_add(part).wrapping_add(23))
    }

    /// An event that 2^`powers` times fewer may be.
    pub(super) const fn rarer(self, powers: u32) -> Self {
        Self(self.0.saturating_add(powers.saturating_mul(256)))
    }

    /// An event that may be twice as frequent.
    pub(super) const fn twice(self) -> Self {
        Self(self.0.saturating_sub(256))
    }

    /// How much of the claim is met already by noise that crosses a threshold only every so often: at `z` (2^-10ths)
    /// of noise of which so much is fresh (2^-14ths), one frame in 1 / (z sqrt(fresh / pi)) that are beyond is the first.
    ///
    /// Of two neighbours with the correlation 1 - s, P(|x| <= z < |next|) is close to 2 phi(z) sqrt(s / pi), and 2 Q(z)
    /// above 2 phi(z) / (z + 1/z). Where that makes no share, nothing is taken off.
    fn crossing(self, z: u32, fresh: u16) -> Self {
        // What is fresh was rounded down, and may be next to nothing.
        let fresh = u32::from(fresh).saturating_add(1);
        // fresh / pi in 2^-28ths, so that its root has 14 bits; then the share in 2^-14ths. 21 / 65 is above 1 / pi.
        let root = (fresh << 14) / 65;
        let root = root.saturating_mul(21).isqrt().saturating_add(1);
        let share = z.wrapping_mul(root) >> 10;
        let share = share.saturating_add((share << 10).checked_div(z.wrapping_mul(z) >> 10).unwrap_or(share));
        if share >= 1 << 14 {
            return self;
        }
        // A logarithm that is not too small is wanted of the share, too.
        let Self(share) = Self::one_in(u64::from(share.saturating_add(1)));
        Self(self.0.saturating_add(share).saturating_sub(14 * 256))
    }
}

/// How many standard deviations, in 2^-10ths, `confirm` frames in a row pass no more often than once in so many `frames`:
/// normal noise of any band, on either side. 4 and more in a row count as 3, less than one in 256 frames as that.
///
/// `alike` and `fresh` say how slow the noise is; they are those of a [`RestNoise`](super::RestNoise).
///
/// ```
/// use handback::calibrate::deviations;
/// // White noise, 50 frames a second, once in 100 hours: one frame, two, three in a row.
/// let white = |confirm| deviations(18_000_000, confirm, [0, 0], 1 << 14) * 100 / 1024;
/// assert_eq!([white(1), white(2), white(3)], [546, 370, 291]);
/// // Noise that hardly changes from frame to frame: confirm is of no use.
/// let slow = |confirm| deviations(18_000_000, confirm, [16_220, 16_060], 164) * 100 / 1024;
/// assert_eq!([slow(1), slow(2), slow(3)], [525, 525, 525]);
/// ```
pub fn deviations(frames: u64, confirm: u8, alike: [u16; 2], fresh: u16) -> u32 {
    beyond(Rarity::one_in(frames), confirm, alike, fresh)
}

/// The same for a rarity.
pub(super) fn beyond(rarity: Rarity, confirm: u8, alike: [u16; 2], fresh: u16) -> u32 {
    let first = along(&ONE, rarity.place(), STEPS_L);
    let crossing = along(&ONE, rarity.crossing(first, fresh).place(), STEPS_L);
    let [one, two] = alike;
    let in_a_row = match confirm {
        0 | 1 => first,
        2 => between(&TWO, rarity, one.into()),
        _ => {
            // Three pairs, of which two are one frame apart. Their mean stands for them unless the outer pair, which is
            // the most alike where noise changes sides with every frame or two, is more alike than that.
            let mean = (u32::from(one).saturating_mul(2).saturating_add(u32::from(two))) / 3;
            between(&THREE, rarity, u32::from(two).max(mean))
        }
    };
    // A row begins with its first frame beyond: rows are no more frequent than crossings.
    in_a_row.min(crossing)
}

/// A place between two entries of ten has 10 bits after the point; between two of nine, 11.
const STEPS_L: u32 = 10;
const STEPS_M: u32 = 11;

impl Rarity {
    /// Where in the tables it is; what is less rare than their beginning counts as that.
    const fn place(self) -> u32 {
        // 256ths of a power, four powers to a step: 2^-10ths of a step.
        let _: () = assert!(STEP_BITS.wrapping_add(8) == STEPS_L);
        self.0.saturating_sub(FIRST)
    }
}

/// Between the entries for both rarity and likeness.
fn between(table: &[[u16; 8]; 10], rarity: Rarity, alike: u32) -> u32 {
    let mut column = [0_u16; 10];
    for ((entry, row), all) in column.iter_mut().zip(table).zip(ONE) {
        let mut whole = [all; 9];
        for (to, from) in whole.iter_mut().zip(row) {
            *to = *from;
        }
        *entry = u16::try_from(along(&whole, alike, STEPS_M)).unwrap_or(u16::MAX);
    }
    along(&column, rarity.place(), STEPS_L)
}

/// The straight line between two entries, rounded up; past the last entry it is that.
fn along(entries: &[u16], place: u32, bits: u32) -> u32 {
    let mut before = place.wrapping_shr(bits) as usize;
    let mut part = place & 1_u32.wrapping_shl(bits).wrapping_sub(1);
    if before >= entries.len().saturating_sub(1) {
        (before, part) = (entries.len().saturating_sub(1), 0);
    }
    let entry = |at: usize| entries.get(at).copied().map_or(0, u32::from);
    let (low, high) = (entry(before), if part == 0 { 0 } else { entry(before.saturating_add(1)) });
    let rise = high.saturating_sub(low).wrapping_mul(part);
    low.wrapping_add(rise.wrapping_add(1_u32.wrapping_shl(bits).wrapping_sub(1)).wrapping_shr(bits))
}
