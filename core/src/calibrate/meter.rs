//! The noise of a stick that nobody touches, taken in reading by reading.
//!
//! A reading costs additions, comparisons and three products, all of 32 bits; no division. Once in 64 frames, where a
//! block ends, its sums are added to sums of 64 bits, and two squares of its own sum. The sums are exact, so the variance is too, however long the rest: what a running mean and a
//! running variance lose by rounding at every sample, nobody has to bound.

use super::noise::RestNoise;

/// A block has this many frames, a power of two.
pub(super) const BLOCK: u32 = 64;

/// So many blocks make a long block, over which slow drift is told from noise.
pub(super) const LONG: u16 = 8;

/// No more blocks than this are taken in: 131,072 frames, 43 minutes of 50 a second.
const MOST_BLOCKS: u16 = 2048;

/// A reading further than this from the reference is no rest: it counts as this far, and is told. So a block of squared
/// differences is below 2^32.
const FURTHEST: i32 = 4095;

/// Takes in the readings of one axis while hands are off.
///
/// The first 64 set the reference from which all others are measured, and are not counted. Only whole blocks of 64 count.
///
/// ```
/// use handback::calibrate::RestMeter;
/// let mut meter = RestMeter::new();
/// for n in 0..64 * 5 {
///     meter.take(24_000 + n % 2 * 4); // a pulse of 1500 us that jitters by a quarter of a microsecond
/// }
/// let noise = meter.noise().expect("four blocks are enough");
/// assert_eq!((noise.frames, noise.low, noise.high), (256, 24_000, 24_004));
/// assert_eq!(noise.variance / 256, 4);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct RestMeter {
    /// The mean of the first block.
    reference: u16,
    /// How far the last two readings were from it, the last first; before it is set, the readings.
    last: [i32; 2],
    /// The same without their signs, of counted frames.
    sizes: [u16; 2],
    low: u16,
    high: u16,
    rows: [u16; 3],
    strayed: bool,
    /// Frames in the block that is being filled.
    filled: u32,
    block: Block,
    /// Whole blocks counted; `None` until the reference is set.
    blocks: Option<u16>,
    sums: Sums,
}

/// Sums over one block.
#[derive(Clone, Copy, Debug, Default)]
struct Block {
    sum: i32,
    squares: u32,
    /// Squared differences from one frame, and from two frames, before.
    steps: [u32; 2],
}

/// Sums over all whole blocks.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    /// Of the distances from the reference, within 2^29.
    pub(super) all: i32,
    /// Below 2^41.
    pub(super) squares: u64,
    /// Below 2^43.
    pub(super) steps: [u64; 2],
    /// Of the squared sums of blocks, below 2^47.
    pub(super) blocks_squared: u64,
    /// Of the squared differences of the sums of neighbouring blocks, below 2^49.
    pub(super) blocks_steps: u64,
    /// The sum of the block before, within 2^18.
    before: i32,
    /// The sum of the long block that is being filled, within 2^21.
    long: i32,
    /// The least and the greatest sum of a long block.
    pub(super) long_range: Option<[i32; 2]>,
}

impl RestMeter {
    /// A meter that has seen nothing.
    pub const fn new() -> Self {
        Self {
            reference: 0,
            last: [0; 2],
            sizes: [0; 2],
            low: u16::MAX,
            high: 0,
            rows: [0; 3],
            strayed: false,
            filled: 0,
            block: Block { sum: 0, squares: 0, steps: [0; 2] },
            blocks: None,
            sums: Sums {
                all: 0,
                squares: 0,
                steps: [0; 2],
                blocks_squared: 0,
                blocks_steps: 0,
                before: 0,
                long: 0,
                long_range: None,
            },
        }
    }

    /// Takes in one reading: steps of a [`Reading`](crate::Reading), or any other number that grows with the stick.
    pub fn take(&mut self, reading: u16) {
        match self.blocks {
            None => self.find_reference(reading),
            Some(MOST_BLOCKS) => {}
            Some(blocks) => self.measure(reading, blocks),
        }
    }

    /// The frames that count so far.
    pub const fn frames(&self) -> u32 {
        match self.blocks {
            Some(blocks) => (blocks as u32).wrapping_mul(BLOCK),
            None => 0,
        }
    }

    /// Whether a reading was too far from the first ones for a stick at rest: somebody touched it, or a wire is loose.
    pub const fn strayed(&self) -> bool {
        self.strayed
    }

    /// What the rest was like so far; `None` until two blocks were counted.
    pub fn noise(&self) -> Option<RestNoise> {
        let blocks = self.blocks.filter(|&blocks| blocks >= 2)?;
        Some(RestNoise::of(u32::from(blocks), self.reference, [self.low, self.high], self.rows, &self.sums))
    }

    fn find_reference(&mut self, reading: u16) {
        // At most 64 * 65535.
        self.block.sum = self.block.sum.wrapping_add(i32::from(reading));
        let [before, _] = self.last;
        self.last = [i32::from(reading), before];
        self.filled = self.filled.wrapping_add(1);
        if self.filled == BLOCK {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a mean of readings
            let mean = (self.block.sum.wrapping_add(32) >> 6) as u16;
            self.reference = mean;
            self.last = self.last.map(|last| last.wrapping_sub(i32::from(mean)).clamp(-FURTHEST, FURTHEST));
            (self.blocks, self.filled, self.block) = (Some(0), 0, Block::default());
        }
    }

    fn measure(&mut self, reading: u16, blocks: u16) {
        let far = distance(reading, self.reference);
        let at = far.clamp(-FURTHEST, FURTHEST);
        self.strayed |= at != far;
        (self.low, self.high) = (self.low.min(reading), self.high.max(reading));
        self.see_row(at);
        // Nothing wraps: of 64 frames each square is at most 4095^2, each squared difference at most 8190^2.
        self.block.sum = self.block.sum.wrapping_add(at);
        self.block.squares = self.block.squares.wrapping_add(square(at));
        for (sum, before) in self.block.steps.iter_mut().zip(self.last) {
            *sum = sum.wrapping_add(square(at.wrapping_sub(before)));
        }
        let [before, _] = self.last;
        self.last = [at, before];
        self.filled = self.filled.wrapping_add(1);
        if self.filled == BLOCK {
            self.sums.add(self.block, blocks);
            (self.blocks, self.filled, self.block) = (Some(blocks.wrapping_add(1)), 0, Block::default());
        }
    }

    /// The largest distance that one frame, two in a row and three in a row had or exceeded, whichever the side (T1).
    fn see_row(&mut self, at: i32) {
        #[allow(clippy::cast_possible_truncation)] // at most 4095
        let size = at.unsigned_abs() as u16;
        let [one, two] = self.sizes;
        let in_a_row = [size, size.min(one), size.min(one).min(two)];
        for (most, row) in self.rows.iter_mut().zip(in_a_row) {
            *most = row.max(*most);
        }
        self.sizes = [size, one];
    }
}

impl Default for RestMeter {
    fn default() -> Self {
        Self::new()
    }
}

impl Sums {
    /// Takes in a whole block, the one after so many.
    fn add(&mut self, block: Block, blocks: u16) {
        self.all = self.all.wrapping_add(block.sum);
        self.squares = self.squares.wrapping_add(u64::from(block.squares));
        for (sum, step) in self.steps.iter_mut().zip(block.steps) {
            *sum = sum.wrapping_add(u64::from(step));
        }
        self.blocks_squared = self.blocks_squared.wrapping_add(wide_square(block.sum));
        if blocks > 0 {
            let step = wide_square(block.sum.wrapping_sub(self.before));
            self.blocks_steps = self.blocks_steps.wrapping_add(step);
        }
        self.before = block.sum;
        self.long = self.long.wrapping_add(block.sum);
        if blocks % LONG == LONG - 1 {
            let [least, most] = self.long_range.unwrap_or([self.long; 2]);
            self.long_range = Some([least.min(self.long), most.max(self.long)]);
            self.long = 0;
        }
    }
}

const fn distance(reading: u16, reference: u16) -> i32 {
    (reading as i32).wrapping_sub(reference as i32)
}

/// Of at most 8190.
const fn square(x: i32) -> u32 {
    x.wrapping_mul(x).cast_unsigned()
}

/// Of at most 2^19.
const fn wide_square(x: i32) -> u64 {
    let size = x.unsigned_abs() as u64;
    size.wrapping_mul(size)
}
