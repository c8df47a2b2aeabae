//! The watched sticks: where each stick rests, and whether its axis is held (T1, T3, R).
//!
//! Rules: T1, T3, R1, R2, R3

use super::findings::Findings;
use super::timer::Since;
use crate::policy::{Ask, CheckedPolicy, NO_REST};
use crate::quantity::{AxisSet, Deflection, Frame, Instant, WideSet};

/// The watched sticks of all axes.
#[derive(Clone, Debug, Hash)]
pub(super) struct Sticks<const N: usize> {
    /// The axes that the instructor is holding; a subset of the watched ones.
    held: AxisSet,
    /// The free axes with a row that has begun (T1), and the held axes with a stay that has begun (R2).
    begun: AxisSet,
    axes: [Stick; N],
}

/// One stick.
#[derive(Clone, Copy, Debug, Hash)]
struct Stick {
    /// Position of the untouched stick; [`NO_REST`] where the axis is not watched, and before its first rest (R2).
    rest: Deflection,
    /// The first position of a stay that has begun.
    stay: Deflection,
    /// Of a row that has begun (free axis), the good frames that are missing; of a stay that has begun (held axis), the
    /// instant at which it began.
    missing_or_since: u32,
}

impl<const N: usize> Sticks<N> {
    pub(super) const fn new(policy: &CheckedPolicy<N>) -> Self {
        let mut axes = [Stick { rest: NO_REST, stay: Deflection::CENTRE, missing_or_since: 0 }; N];
        let (mut left, mut rests) = (axes.as_mut_slice(), policy.rests.axes().as_slice());
        while let ([stick, next @ ..], [rest, tail @ ..]) = (left, rests) {
            stick.rest = *rest;
            (left, rests) = (next, tail);
        }
        Self { held: policy.where_left, begun: AxisSet::EMPTY, axes }
    }

    /// Whether no axis is held and no row has begun.
    pub(super) fn untouched(&self) -> bool {
        (self.held | self.begun).is_empty()
    }

    /// Whether every watched stick is within `engage` of its rest.
    #[inline]
    pub(super) fn at_rest(&self, policy: &CheckedPolicy<N>, frame: &Frame<N>) -> bool {
        let mut sticks = self.axes.iter().zip(&policy.asks).zip(frame.axes());
        sticks.all(|((stick, ask), x)| x.is_within(ask.engage, stick.rest))
    }

    /// The rest of each axis; valid only for watched axes that have been free.
    pub(super) fn rests(&self) -> impl Iterator<Item = Deflection> {
        self.axes.iter().map(|stick| stick.rest)
    }

    /// Reads the instructor's frame if a good one came. A loss restarts every stay and every row (R3).
    pub(super) fn step(&mut self, policy: &CheckedPolicy<N>, now: Instant, frame: &Frame<N>, found: &mut Findings) {
        if found.disturbed() {
            self.begun = AxisSet::EMPTY;
        }
        let before = self.held;
        if found.fresh {
            self.read(policy, now, frame);
        }
        found.held = self.held;
        found.newly_held = self.held.except(before);
        found.touch_changed = self.held != before;
        found.stirring = !self.begun.except(self.held).is_empty();
    }

    /// Reads a good frame of the instructor's.
    fn read(&mut self, policy: &CheckedPolicy<N>, now: Instant, frame: &Frame<N>) {
        let (mut held, mut begun, mut axis) = (self.held.wide(), self.begun.wide(), WideSet::FIRST);
        let where_left = policy.where_left.wide();
        for ((stick, ask), x) in self.axes.iter_mut().zip(&policy.asks).zip(frame.axes()) {
            if held.meets(axis) {
                let left = where_left.meets(axis);
                let free = if left {
                    stick.stays(*ask, *x, now, begun.meets(axis))
                } else {
                    x.is_within(ask.release, stick.rest)
                };
                begun = begun.with(axis);
                if free {
                    (held, begun) = (held.except(axis), begun.except(axis));
                }
            } else if x.is_within(ask.engage, stick.rest) {
                // A good frame within `engage` breaks the row.
                begun = begun.except(axis);
            } else {
                let missing = if begun.meets(axis) { stick.missing_or_since } else { u32::from(ask.confirm) };
                stick.missing_or_since = missing.saturating_sub(1);
                begun = begun.with(axis);
                if stick.missing_or_since == 0 {
                    held = held.with(axis);
                    stick.stay_at(*x, now);
                }
            }
            axis = axis.next();
        }
        (self.held, self.begun) = (held.narrow(), begun.narrow());
    }

    /// The student's set grew: every free stick that rests where left takes its position as its rest (R2).
    pub(super) fn rest_here(&mut self, policy: &CheckedPolicy<N>, frame: &Frame<N>) {
        let (free, mut axis) = (policy.where_left.except(self.held).wide(), WideSet::FIRST);
        for (stick, x) in self.axes.iter_mut().zip(frame.axes()) {
            if free.meets(axis) {
                stick.rest = *x;
            }
            axis = axis.next();
        }
    }

    /// See [`Engine::normalise`](super::Engine::normalise).
    #[cfg(feature = "states")]
    pub(super) fn normalise(&mut self, policy: &CheckedPolicy<N>, now: Instant) {
        for (axis, (stick, ask)) in (0..).zip(self.axes.iter_mut().zip(&policy.asks)) {
            let begun = self.begun.contains(axis);
            if begun && (self.held & policy.where_left).contains(axis) {
                let still = crate::quantity::Duration::from_ticks(ask.still);
                stick.missing_or_since = Since(stick.missing_or_since).normal(now, still).0;
                continue;
            }
            stick.stay = Deflection::CENTRE;
            if !begun || self.held.contains(axis) {
                stick.missing_or_since = 0;
            }
        }
    }

    /// Whether a watched stick that has a rest is further than `limit` from it (H2).
    pub(super) fn any_beyond(&self, frame: &Frame<N>, limit: Deflection) -> bool {
        self.axes
            .iter()
            .zip(frame.axes())
            .any(|(stick, x)| stick.rest != NO_REST && !x.is_within(limit.to_bits().cast_unsigned(), stick.rest))
    }
}

impl Stick {
    /// Whether the held axis has stayed about one position for `still`, which becomes its rest (R2).
    fn stays(&mut self, ask: Ask, x: Deflection, now: Instant, begun: bool) -> bool {
        if !begun || !x.is_within(ask.release, self.stay) {
            self.stay_at(x, now);
        }
        let free = Since(self.missing_or_since).passed(now) >= ask.still;
        if free {
            self.rest = self.stay;
        }
        free
    }

    const fn stay_at(&mut self, x: Deflection, now: Instant) {
        self.stay = x;
        self.missing_or_since = now.as_ticks();
    }
}
