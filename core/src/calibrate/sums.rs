//! The sums from which the noise of a rest is computed. They are exact, so the variance is exact for a rest of any
//! length. A running mean and a running variance would lose precision by rounding at every reading.

use super::lengths::Lengths;

/// Largest distance from the reference of a stick at rest. A reading further away counts at this distance and is
/// reported as strayed. A block of squared differences is therefore below 2^32.
pub(super) const FURTHEST: i32 = 4095;

/// Sums over one block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    /// Sum of the distances from the reference; before the reference is set, of the readings.
    pub(super) sum: i32,
    squares: u32,
    /// Sums of the squared differences from the frame before, and from the frame before that.
    steps: [u32; 2],
}

impl Block {
    pub(super) const EMPTY: Self = Self { sum: 0, squares: 0, steps: [0; 2] };

    /// Takes in a distance; `last` are the distances of the two frames before, the last first.
    pub(super) fn add(&mut self, at: i32, last: [i32; 2]) {
        // Nothing wraps: there are 64 frames, each square is at most 4095^2, and each squared difference at most
        // 8190^2.
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
    /// Sum of the distances from the reference, within 2^29 either side of 0.
    pub(super) all: i32,
    /// Sum of the squared distances, below 2^41.
    pub(super) squares: u64,
    /// Sums of the squared differences, each below 2^43.
    pub(super) steps: [u64; 2],
    /// Sums of blocks of many lengths.
    pub(super) lengths: Lengths,
}

impl Sums {
    pub(super) const EMPTY: Self = Self { all: 0, squares: 0, steps: [0; 2], lengths: Lengths::EMPTY };

    /// Takes in a whole block; `blocks` is the number of blocks before it.
    pub(super) fn add(&mut self, block: Block, blocks: u16) {
        self.all = self.all.wrapping_add(block.sum);
        self.squares = self.squares.wrapping_add(u64::from(block.squares));
        for (sum, step) in self.steps.iter_mut().zip(block.steps) {
            *sum = sum.wrapping_add(u64::from(step));
        }
        self.lengths.add(block.sum, blocks);
    }
}

/// The square; `x` is at most 8190.
const fn square(x: i32) -> u32 {
    x.wrapping_mul(x).cast_unsigned()
}
