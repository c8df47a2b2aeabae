//! Measures one stick that is moved as the guide says: its ends, its return to centre, the speed of its sweeps.
//!
//! Additions, comparisons and shifts only.

/// A stick is still when this many readings in a row lie within its slack; a power of two.
const STILL: u8 = 64;

/// Number of sweeps through centre that the guide asks for.
pub(super) const SWEEPS: u8 = 8;

/// A stick that spends this many frames or more in the middle has paused; that is no sweep.
const PAUSE: u8 = 100;

/// Detects a stick that stands still.
#[derive(Clone, Copy, Debug)]
pub(super) struct Still {
    low: u16,
    high: u16,
    frames: u8,
    sum: u32,
}

impl Still {
    pub(super) const NEW: Self = Self { low: u16::MAX, high: 0, frames: 0, sum: 0 };

    /// The mean of the last 64 readings, once these 64 are within `slack` of each other.
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

/// How a stick returned to its centre after it was let go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Home {
    /// The reading at which it came to rest.
    pub(super) at: u16,
    /// How far it went past its centre.
    pub(super) past: u16,
    /// Frames from its arrival at the middle until it stood still.
    pub(super) ring: u16,
}

/// Follows a stick that was let go until it is back at its centre.
#[derive(Clone, Copy, Debug)]
pub(super) struct Return {
    still: Still,
    /// Frames since it came to the middle or passed it.
    arrived: Option<u16>,
    past: u16,
}

impl Return {
    pub(super) const NEW: Self = Self { still: Still::NEW, arrived: None, past: 0 };

    /// Takes in one reading of a stick that comes from above or from below. The stick is back once it stands still in
    /// the middle.
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

/// The middle of a stick's travel: `half` on either side of `centre`.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Middle {
    pub(super) centre: u16,
    pub(super) half: u16,
}

/// The slowest sweep through centre: for each of four bands, the largest number of frames that a sweep spent in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Sweep {
    /// An eighth of the travel from the centre to the nearer end, in steps of the readings.
    pub eighth: u16,
    /// Frames within 1/4, 1/8, 1/16 and 1/32 of that travel from the centre.
    pub frames: [u8; 4],
}

impl Sweep {
    /// How far from the centre each of these bands reaches, in 256ths of a step.
    pub(super) fn bands(self) -> [u64; 4] {
        [9, 8, 7, 6].map(|bits| u64::from(self.eighth) << bits)
    }
}

/// Counts sweeps from beyond a quarter of the travel on one side to beyond a quarter on the other side.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sweeps {
    /// The side on which the stick was last beyond that quarter: whether above. `None` before that.
    beyond: Option<bool>,
    /// Frames in each band since then.
    inside: [u8; 4],
    pub(super) count: u8,
    slowest: Sweep,
}

impl Sweeps {
    pub(super) const NEW: Self =
        Self { beyond: None, inside: [0; 4], count: 0, slowest: Sweep { eighth: 0, frames: [0; 4] } };

    /// The slowest sweep so far; `None` before the first.
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
