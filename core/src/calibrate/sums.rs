//! The sums that the noise of a rest is worked out from. They are exact, so the variance is too, however long the rest:
//! what a running mean and a running variance lose by rounding at every sample, nobody has to bound.

use super::lengths::Lengths;

/// A block has this many frames, a power of two.
pub(super) const BLOCK: u32 = 64;

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
    /// Of blocks of many lengths.
    pub(super) lengths: Lengths,
}

impl Sums {
    pub(super) const EMPTY: Self = Self { all: 0, squares: 0, steps: [0; 2], lengths: Lengths::EMPTY };

    /// Takes in a whole block; `blocks` is how many came before it.
    pub(super) fn add(&mut self, block: Block, blocks: u16) {
        self.all = self.all.wrapping_add(block.sum);
        self.squares = self.squares.wrapping_add(u64::from(block.squares));
        for (sum, step) in self.steps.iter_mut().zip(block.steps) {
            *sum = sum.wrapping_add(u64::from(step));
        }
        self.lengths.add(block.sum, blocks);
    }
}

/// Of at most 8190.
const fn square(x: i32) -> u32 {
    x.wrapping_mul(x).cast_unsigned()
}
