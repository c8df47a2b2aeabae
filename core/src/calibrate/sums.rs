//! The sums that the noise of a rest is worked out from. They are exact, so the variance is too, however long the rest:
//! what a running mean and a running variance lose by rounding at every sample, nobody has to bound.

/// A block has this many frames, a power of two.
pub(super) const BLOCK: u32 = 64;

/// So many blocks make a long block, over which slow drift is told from noise.
pub(super) const LONG: u16 = 8;

/// A reading further than this from the reference is no rest: it counts as this far, and is told. So a block of squared
/// differences is below 2^32.
pub(super) const FURTHEST: i32 = 4095;

/// Sums over one block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Of the distances from the reference; before that is set, of the readings.
    pub(super) sum: i32,
    squares: u32,
    /// Squared differences from one frame, and from two frames, before.
    steps: [u32; 2],
}

impl Block {
    pub(super) const EMPTY: Self = Self { sum: 0, squares: 0, steps: [0; 2] };

    /// Takes in a distance; `last` are those of the two frames before, the last first.
    pub(super) fn add(&mut self, at: i32, last: [i32; 2]) {
        // Nothing wraps: of 64 frames each square is at most 4095^2, each squared difference at most 8190^2.
        self.sum = self.sum.wrapping_add(at);
        self.squares = self.squares.wrapping_add(square(at));
        for (sum, before) in self.steps.iter_mut().zip(last) {
            *sum = sum.wrapping_add(square(at.wrapping_sub(before)));
        }
    }
}

/// Sums over all whole blocks.
#[derive(Clone, Copy, Debug)]
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

impl Sums {
    pub(super) const EMPTY: Self = Self {
        all: 0,
        squares: 0,
        steps: [0; 2],
        blocks_squared: 0,
        blocks_steps: 0,
        before: 0,
        long: 0,
        long_range: None,
    };

    /// Takes in a whole block, the one after so many.
    pub(super) fn add(&mut self, block: Block, blocks: u16) {
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

/// Of at most 8190.
const fn square(x: i32) -> u32 {
    x.wrapping_mul(x).cast_unsigned()
}

/// Of at most 2^19.
const fn wide_square(x: i32) -> u64 {
    let size = x.unsigned_abs() as u64;
    size.wrapping_mul(size)
}
