//! Whether a stick that is held now and then is moved by a hand, or rattles about its threshold with no hand on it.

use handback::{AxisRule, Deflection};

use super::beside::points;

/// The part of a new distance that counts in the smoothed one: half a second at 50 frames a second.
const SMOOTH: f64 = 0.04;
/// A stick that has been held for this long, this near to its threshold, is no hand's. Own choices, no source.
const LONG_US: u64 = 1_000_000;
const NEAR: f64 = 1.25;
/// A stick beyond this many thresholds is a hand's, if it is also this many deviations of its rattle from where it stays. Own
/// choices, no source.
const HAND: f64 = 2.0;
const FAR: f64 = 5.0;
/// A rattle changes from frame to frame by more than this part of its spread, as squares; a hand moves smoothly. White noise
/// changes by twice its spread. Own choice, no source.
const ROUGH: f64 = 0.5;
/// A stick that has not been held for this long is at rest. Own choice, no source.
const CALM_US: u64 = 1_500_000;
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
    /// The square of its distance from `off`, smoothed.
    spread: f64,
    /// Where it was in the frame before, and the square of its change from frame to frame, smoothed.
    last: f64,
    rough: f64,
    /// How far from its rest it was seen at most.
    most: f64,
}

/// Where a stick is that no hand holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Stays {
    /// Off its rest by so many signed points.
    Off(f64),
    /// About its rest, up to so many points from it.
    About(f64),
}

impl Rattle {
    /// After a step in which the stick is this far from its rest, in points.
    pub(super) fn next(before: Option<Self>, time_us: u64, off: f64, held: bool, engage: Deflection) -> Option<Self> {
        let apart = before.map_or(off, |before| off - before.off);
        let seen = before.map_or(0.0, |before| FAR * before.spread.sqrt());
        if off.abs() > HAND * points(engage) && apart.abs() > seen {
            return None;
        }
        let mut now = match before {
            Some(before) => Self {
                off: before.off + SMOOTH * apart,
                spread: before.spread + SMOOTH * (apart * apart - before.spread),
                rough: before.rough + SMOOTH * ((off - before.last).powi(2) - before.rough),
                last: off,
                most: before.most.max(off.abs()),
                ..before
            },
            None if held => Self {
                since: time_us,
                held: time_us,
                off,
                told: off,
                spread: 0.0,
                last: off,
                rough: 0.0,
                most: off.abs(),
            },
            None => return None,
        };
        if held {
            now.held = time_us;
        }
        let wrong = now.off - now.told;
        now.told = if wrong.abs() > WRONG { now.off } else { now.told + SLOW * wrong };
        (time_us - now.held <= CALM_US).then_some(now)
    }

    /// Where it stays, if no hand holds it there.
    pub(super) fn stays(&self, time_us: u64, rule: &AxisRule) -> Option<Stays> {
        let long = time_us - self.since >= LONG_US && self.off.abs() <= NEAR * points(rule.engage);
        let about = self.told.abs() <= points(rule.release);
        let rattles = self.rough > ROUGH * self.spread;
        match about {
            true if long && rattles => Some(Stays::About(self.most)),
            false if long => Some(Stays::Off(self.told)),
            _ => None,
        }
    }
}
