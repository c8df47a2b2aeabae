//! What is heard of a rhythm that lost a pulse or a gap, and for what it can be mistaken.
//!
//! The ear here counts pulses and compares their lengths; it is deaf to the length of gaps, so that whatever it tells
//! apart a better one does, too.

use crate::quantity::Duration;

use super::Rhythm;

/// How often the cues are to be looked at: a step for every frame is often enough.
///
/// A pulse or gap ends with the first look after its time, so each is up to this much too long and never too short.
pub const LOOK_EVERY: Duration = Duration::from_ticks(25_000);

/// [`LOOK_EVERY`] in milliseconds.
const LATE: u32 = 25;

/// How long a run of sound may be heard to last, in milliseconds; nothing at all is 0 to 0.
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

    /// This and another length in the same run.
    pub(super) const fn and(self, ms: u16) -> Self {
        let ms = ms as u32;
        Self { least: self.least.saturating_add(ms), most: self.most.saturating_add(ms).saturating_add(LATE) }
    }

    pub(super) const fn of(ms: u16) -> Self {
        Self::NOTHING.and(ms)
    }

    /// Always longer than the other, by a third at least.
    pub(super) const fn outlasts(self, other: Self) -> bool {
        self.least.saturating_mul(3) >= other.most.saturating_mul(4)
    }
}

impl Heard {
    const SILENCE: Self = Self { pulses: [Span::NOTHING; 6], count: 0 };

    /// What is heard of these lengths where the one at place `lost` fails: a pulse that is silent, or a gap that is
    /// filled. A place past the last fails nothing.
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

    /// As many pulses, none of which is surely the longer or the shorter one.
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

/// Whether two rhythms can sound alike, each with at most one pulse or one gap lost.
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
