//! Whether a stick that is held now and then is moved by a hand, or rattles about its threshold with no hand on it.

use handback::Deflection;

use super::beside::points;

/// The part of a new distance that counts in the smoothed one: half a second at 50 frames a second.
const SMOOTH: f64 = 0.04;
/// A stick that has been held for this long, this near to its threshold, is no hand's. Own choices, no source.
const LONG_US: u64 = 1_000_000;
const NEAR: f64 = 1.25;
/// A stick beyond this many thresholds is a hand's. Own choice, no source.
const HAND: f64 = 2.0;
/// A stick that has not been held for this long is at rest. Own choice, no source.
const CALM_US: u64 = 500_000;
/// The place that is told follows slowly, so that its digits stand still; at once where it is off by so many points.
const SLOW: f64 = 0.01;
const WRONG: f64 = 0.15;

/// One stick with a fixed rest, as long as no hand has moved it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rattle {
    /// Since when it has been held again and again, and when it was held last, in microseconds.
    since: u64,
    held: u64,
    /// How far it is from its rest, in points, smoothed; and as it is told.
    off: f64,
    told: f64,
}

impl Rattle {
    /// After a step in which the stick is this far from its rest, in points.
    pub(super) fn next(before: Option<Self>, time_us: u64, off: f64, held: bool, engage: Deflection) -> Option<Self> {
        if off.abs() > HAND * points(engage) {
            return None;
        }
        let mut now = match before {
            Some(before) => Self { off: before.off + SMOOTH * (off - before.off), ..before },
            None if held => Self { since: time_us, held: time_us, off, told: off },
            None => return None,
        };
        if held {
            now.held = time_us;
        }
        let wrong = now.off - now.told;
        now.told = if wrong.abs() > WRONG { now.off } else { now.told + SLOW * wrong };
        (time_us - now.held <= CALM_US).then_some(now)
    }

    /// How far from its rest it stays, in signed points, if no hand holds it there.
    pub(super) fn stays(&self, time_us: u64, engage: Deflection) -> Option<f64> {
        (time_us - self.since >= LONG_US && self.off.abs() <= NEAR * points(engage)).then_some(self.told)
    }
}
