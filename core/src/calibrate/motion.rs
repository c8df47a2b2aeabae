//! What is learnt of one stick that is moved as the guide says: its ends, how it comes home, how fast it sweeps.
//!
//! Additions, comparisons and shifts only.

/// A stick is still when this many readings one after another lie within its slack, a power of two.
const STILL: u8 = 64;

/// So many sweeps through centre are asked for.
pub(super) const SWEEPS: u8 = 8;

/// A stick that takes this many frames or more through the middle has paused on its way; that is no sweep.
const PAUSE: u8 = 100;

/// Readings that may come to stand still.
#[derive(Clone, Copy, Debug)]
pub(super) struct Still {
    low: u16,
    high: u16,
    frames: u8,
    sum: u32,
}

impl Still {
    pub(super) const NEW: Self = Self { low: u16::MAX, high: 0, frames: 0, sum: 0 };

    /// The mean of the last 64 readings, once so many in a row have been within `slack` of each other.
    pub(super) fn take(&mut self, reading: u16, slack: u16) -> Option<u16> {
        let (low, high) = (self.low.min(reading), self.high.max(reading));
        if self.frames == STILL || high.saturating_sub(low) > slack {
            *self = Self { low: reading, high: reading, frames: 1, sum: u32::from(reading) };
            return None;
        }
        (self.low, self.high) = (low, high);
        self.frames = self.frames.saturating_add(1);
        self.sum = self.sum.wrapping_add(u32::from(reading)); // of 64 readings: below 2^22
        #[allow(clippy::cast_possible_truncation)] // a mean of readings
        (self.frames == STILL).then_some((self.sum.wrapping_add(32) >> 6) as u16)
    }
}

/// How a stick came home that was let go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Home {
    /// Where it came to rest.
    pub(super) at: u16,
    /// How far it went past its centre on the far side.
    pub(super) past: u16,
    /// Frames from its arrival at the middle until it stood still.
    pub(super) ring: u16,
}

/// A stick that was let go and comes home.
#[derive(Clone, Copy, Debug)]
pub(super) struct Return {
    still: Still,
    /// Frames since it came to the middle or passed it.
    arrived: Option<u16>,
    past: u16,
}

impl Return {
    pub(super) const NEW: Self = Self { still: Still::NEW, arrived: None, past: 0 };

    /// One reading, of a stick that comes from above or from below. It is home once it stands still in the middle.
    pub(super) fn take(&mut self, reading: u16, middle: Middle, from_above: bool, slack: u16) -> Option<Home> {
        let far_side = (reading > middle.centre) != from_above;
        let off = reading.abs_diff(middle.centre);
        if far_side {
            self.past = self.past.max(off);
        }
        if far_side || off <= middle.half {
            self.arrived = self.arrived.or(Some(0));
        }
        let at = self.still.take(reading, slack);
        let arrived = self.arrived.as_mut()?;
        *arrived = arrived.saturating_add(1);
        let ring = arrived.saturating_sub(u16::from(STILL));
        let at = at.filter(|at| at.abs_diff(middle.centre) <= middle.half)?;
        Some(Home { at, past: self.past, ring })
    }
}

/// The middle of a stick's travel: so far either side of its centre.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Middle {
    pub(super) centre: u16,
    pub(super) half: u16,
}

/// The slowest sweep through centre: the most frames that one of some spent near it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Sweep {
    /// An eighth of the travel from the centre to the nearer end, in steps of the readings.
    pub eighth: u16,
    /// Frames within a quarter of that travel about the centre, within an eighth, a sixteenth and a thirty-second.
    pub frames: [u8; 4],
}

impl Sweep {
    /// How far from the centre each of these bands reaches, in 256ths of a step.
    pub(super) fn bands(self) -> [u64; 4] {
        [9, 8, 7, 6].map(|bits| u64::from(self.eighth) << bits)
    }
}

/// Sweeps from beyond a quarter of the travel on one side to beyond it on the other.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sweeps {
    /// Where it was beyond the middle last; whether that was above.
    beyond: Option<bool>,
    /// Frames in each band since.
    inside: [u8; 4],
    pub(super) count: u8,
    slowest: Sweep,
}

impl Sweeps {
    pub(super) const NEW: Self =
        Self { beyond: None, inside: [0; 4], count: 0, slowest: Sweep { eighth: 0, frames: [0; 4] } };

    /// The slowest so far; `None` before the first.
    pub(super) fn slowest(&self) -> Option<Sweep> {
        (self.count > 0).then_some(self.slowest)
    }

    pub(super) fn take(&mut self, reading: u16, middle: Middle) {
        self.slowest.eighth = middle.half;
        let off = u64::from(reading.abs_diff(middle.centre)) << 8;
        let bands = self.slowest.bands();
        let [widest, ..] = bands;
        if off <= widest {
            for (inside, band) in self.inside.iter_mut().zip(bands) {
                *inside = inside.saturating_add(u8::from(off <= band));
            }
            return;
        }
        let above = reading > middle.centre;
        let [longest, ..] = self.inside;
        if self.beyond == Some(!above) && longest < PAUSE {
            self.count = self.count.saturating_add(1);
            for (slowest, inside) in self.slowest.frames.iter_mut().zip(self.inside) {
                *slowest = inside.max(*slowest);
            }
        }
        (self.beyond, self.inside) = (Some(above), [0; 4]);
    }
}
