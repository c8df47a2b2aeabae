//! Measures the noise of a stick that nobody touches, reading by reading.
//!
//! A reading costs additions, comparisons and three products, all of 32 bits, and no division. At the end of each block
//! of 64 frames, its sums and the square of its sum are added to sums of 64 bits (`sums.rs`). At every second block end
//! the square of the sum of two blocks is added too, at every fourth that of four, and so on for nine levels
//! (`lengths.rs`).

use super::lengths::BLOCK;
use super::noise::{RestNoise, place, reached};
use super::step_size::StepSize;
use super::sums::{Block, FURTHEST, Sums};

/// Largest number of blocks that count: 131,072 frames, 43 minutes at 50 frames a second.
const MOST_BLOCKS: u16 = 2048;

/// Measures the readings of one axis while hands are off.
///
/// The mean of the first 64 readings is the reference from which all distances are measured; these readings do not
/// count. After them, only whole blocks of 64 readings count.
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
    /// Distances of the last two readings from the reference, the last first; before the reference is set, the
    /// readings.
    last: [i32; 2],
    /// Magnitudes of these distances, of counted frames only.
    sizes: [u16; 2],
    low: u16,
    high: u16,
    rows: [u16; 3],
    /// Number of counted frames at each distance, in the classes of `place`.
    far: [u16; 28],
    steps: StepSize,
    strayed: bool,
    /// Frames in the block that is being filled.
    filled: u32,
    block: Block,
    /// Whole blocks counted; `None` until the reference is set.
    blocks: Option<u16>,
    sums: Sums,
}

impl RestMeter {
    /// A meter without readings.
    pub const fn new() -> Self {
        Self {
            reference: 0,
            last: [0; 2],
            sizes: [0; 2],
            low: u16::MAX,
            high: 0,
            rows: [0; 3],
            far: [0; 28],
            steps: StepSize::NEW,
            strayed: false,
            filled: 0,
            block: Block::EMPTY,
            blocks: None,
            sums: Sums::EMPTY,
        }
    }

    /// Takes in one reading: the bits of a [`Reading`](crate::Reading), or any other number that grows with the
    /// deflection.
    pub fn take(&mut self, reading: u16) {
        match self.blocks {
            None => self.find_reference(reading),
            Some(MOST_BLOCKS) => {}
            Some(blocks) => self.measure(reading, blocks),
        }
    }

    /// The number of frames counted so far.
    pub const fn frames(&self) -> u32 {
        match self.blocks {
            Some(blocks) => (blocks as u32).wrapping_mul(BLOCK),
            None => 0,
        }
    }

    /// Whether a reading was too far from the reference for a stick at rest: the stick was touched, or a wire is loose.
    pub const fn strayed(&self) -> bool {
        self.strayed
    }

    /// The noise so far; `None` until two blocks were counted.
    pub fn noise(&self) -> Option<RestNoise> {
        let blocks = self.blocks.filter(|&blocks| blocks >= 2)?;
        Some(RestNoise {
            step: self.steps.least,
            low: self.low,
            high: self.high,
            rows: self.rows,
            far: reached(self.far),
            ..RestNoise::of(u32::from(blocks), self.reference, &self.sums)
        })
    }

    fn find_reference(&mut self, reading: u16) {
        self.steps.take(reading);
        // The sum is at most 64 * 65535.
        self.block.sum = self.block.sum.wrapping_add(i32::from(reading));
        let [before, _] = self.last;
        self.last = [i32::from(reading), before];
        self.filled = self.filled.wrapping_add(1);
        if self.filled == BLOCK {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a mean of readings
            let mean = (self.block.sum.wrapping_add(32) >> 6) as u16;
            self.reference = mean;
            self.last = self.last.map(|last| last.wrapping_sub(i32::from(mean)).clamp(-FURTHEST, FURTHEST));
            (self.blocks, self.filled, self.block) = (Some(0), 0, Block::EMPTY);
        }
    }

    fn measure(&mut self, reading: u16, blocks: u16) {
        self.steps.take(reading);
        let far = distance(reading, self.reference);
        let at = far.clamp(-FURTHEST, FURTHEST);
        self.strayed |= at != far;
        (self.low, self.high) = (self.low.min(reading), self.high.max(reading));
        self.see_row(at);
        self.block.add(at, self.last);
        let [before, _] = self.last;
        self.last = [at, before];
        self.filled = self.filled.wrapping_add(1);
        if self.filled == BLOCK {
            self.sums.add(self.block, blocks);
            (self.blocks, self.filled, self.block) = (Some(blocks.wrapping_add(1)), 0, Block::EMPTY);
        }
    }

    /// Updates the largest distances that one frame, two in a row and three in a row reached, on either side (T1).
    fn see_row(&mut self, at: i32) {
        #[allow(clippy::cast_possible_truncation)] // at most 4095
        let size = at.unsigned_abs() as u16;
        let [one, two] = self.sizes;
        let in_a_row = [size, size.min(one), size.min(one).min(two)];
        for (most, row) in self.rows.iter_mut().zip(in_a_row) {
            *most = row.max(*most);
        }
        self.sizes = [size, one];
        if let Some(frames) = place(size.into()).and_then(|place| self.far.get_mut(place)) {
            *frames = frames.saturating_add(1);
        }
    }
}

impl Default for RestMeter {
    fn default() -> Self {
        Self::new()
    }
}

const fn distance(reading: u16, reference: u16) -> i32 {
    (reading as i32).wrapping_sub(reference as i32)
}
