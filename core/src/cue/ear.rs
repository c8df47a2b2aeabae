//! A model of the ear: what it hears of a rhythm that lost a pulse or a gap, and which rhythms it can confuse.
//!
//! The model counts pulses and compares their lengths. It ignores the length of gaps, so that two rhythms which it
//! distinguishes also differ for a better ear.

use crate::quantity::Duration;

use super::Rhythm;

/// The longest time between two looks, which are calls of [`Cues::step`](super::Cues::step) or
/// [`Cues::look`](super::Cues::look): 25 ms. A step for every frame is often enough.
///
/// A pulse or gap ends with the first look after its time, so each is up to this much too long and never too short.
pub const LOOK_EVERY: Duration = Duration::from_ticks(25_000);

/// [`LOOK_EVERY`] in milliseconds.
const LATE: u32 = 25;

/// The least and the greatest length that a pulse or a silence may be heard to have, in milliseconds; both are 0 if
/// there is none.
#[derive(Clone, Copy)]
pub(super) struct Span {
    least: u32,
    pub(super) most: u32,
}

/// The pulses that are heard, in order.
#[derive(Clone, Copy)]
struct Heard {
    pulses: [Span; 6],
    count: usize,
}

impl Span {
    const NOTHING: Self = Self { least: 0, most: 0 };

    /// Adds another length, which follows without a break.
    pub(super) const fn and(self, ms: u16) -> Self {
        let ms = ms as u32;
        Self { least: self.least.saturating_add(ms), most: self.most.saturating_add(ms).saturating_add(LATE) }
    }

    pub(super) const fn of(ms: u16) -> Self {
        Self::NOTHING.and(ms)
    }

    /// Whether this one is always at least a third longer than the other.
    pub(super) const fn outlasts(self, other: Self) -> bool {
        self.least.saturating_mul(3) >= other.most.saturating_mul(4)
    }
}

impl Heard {
    const SILENCE: Self = Self { pulses: [Span::NOTHING; 6], count: 0 };

    /// The pulses that are heard of these lengths if the one at place `lost` is lost. A lost pulse is silent, a lost
    /// gap sounds. If `lost` is past the last place, nothing is lost.
    const fn of(lengths: &[u16], lost: usize) -> Self {
        let (mut heard, mut run) = (Self::SILENCE, Span::NOTHING);
        let (mut left, mut place) = (lengths, 0usize);
        while let [ms, rest @ ..] = left {
            let is_pulse = place & 1 == 0;
            if is_pulse == (place == lost) {
                heard = heard.with(run);
                run = Span::NOTHING;
            } else {
                run = run.and(*ms);
            }
            left = rest;
            place = place.saturating_add(1);
        }
        heard.with(run)
    }

    const fn with(mut self, run: Span) -> Self {
        if run.most > 0
            && let Some((_, [pulse, ..])) = self.pulses.split_at_mut_checked(self.count)
        {
            *pulse = run;
            self.count = self.count.saturating_add(1);
        }
        self
    }

    /// Whether both have the same number of pulses, and no pulse is surely longer or shorter than that of the other.
    const fn is_like(&self, other: &Self) -> bool {
        if self.count != other.count {
            return false;
        }
        let (mut own, mut others) = (self.pulses.as_slice(), other.pulses.as_slice());
        let mut left = self.count;
        while let ([this, own_rest @ ..], [that, others_rest @ ..]) = (own, others) {
            if left == 0 {
                break;
            }
            if this.outlasts(*that) || that.outlasts(*this) {
                return false;
            }
            own = own_rest;
            others = others_rest;
            left = left.saturating_sub(1);
        }
        true
    }
}

/// Whether two rhythms can sound alike if each has lost at most one pulse or one gap.
pub(super) const fn mistaken(one: &Rhythm, other: &Rhythm) -> bool {
    let mut lost = 0;
    while lost <= one.lengths().len() {
        let heard = Heard::of(one.lengths(), lost);
        let mut lost_too = 0;
        while lost_too <= other.lengths().len() {
            if heard.is_like(&Heard::of(other.lengths(), lost_too)) {
                return true;
            }
            lost_too = lost_too.saturating_add(1);
        }
        lost = lost.saturating_add(1);
    }
    false
}
