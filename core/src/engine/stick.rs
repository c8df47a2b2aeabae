//! The watched sticks: where each stick rests, and whether its axis is held (T1, T3, R).
//!
//! Rules: T1, T3, R1, R2, R3

use super::findings::Findings;
use crate::policy::{AxisRule, CheckedPolicy, NO_REST, Rest};
use crate::quantity::{AxisSet, Deflection, Frame};

/// The watched sticks of all axes.
#[derive(Clone, Debug)]
pub(super) struct Sticks<const N: usize> {
    /// The axes that the instructor is holding; a subset of the watched ones.
    held: AxisSet,
    /// The free axes with a row that has begun (T1), and the held axes with a stay that has begun (R2).
    begun: AxisSet,
    axes: [Stick; N],
}

/// One stick.
#[derive(Clone, Copy, Debug)]
struct Stick {
    /// Position of the untouched stick; [`NO_REST`] where the axis is not watched, and before its first rest (R2).
    rest: Deflection,
    /// The first position of a stay that has begun.
    stay: Deflection,
    /// Remaining good frames of a row that has begun (free axis), or microseconds of a stay that has begun (held axis).
    missing: u32,
}

impl<const N: usize> Sticks<N> {
    pub(super) const fn new(policy: &CheckedPolicy<N>) -> Self {
        let mut axes = [Stick { rest: NO_REST, stay: Deflection::CENTRE, missing: 0 }; N];
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
        let mut sticks = self.axes.iter().zip(&policy.engage).zip(frame.axes());
        sticks.all(|((stick, engage), x)| x.distance(stick.rest) <= *engage)
    }

    /// The rest of each axis; valid only for watched axes that have been free.
    pub(super) fn rests(&self) -> impl Iterator<Item = Deflection> {
        self.axes.iter().map(|stick| stick.rest)
    }

    /// Reads the instructor's frame if a good one came. A loss restarts every stay and every row (R3).
    pub(super) fn step(&mut self, policy: &CheckedPolicy<N>, frame: &Frame<N>, found: &mut Findings) {
        if found.disturbed() {
            self.begun = AxisSet::EMPTY;
        }
        let before = self.held;
        let out = if found.fresh { self.out(policy, frame) } else { AxisSet::EMPTY };
        if !(self.held | self.begun | out).is_empty() {
            self.touch(policy, frame, out, found);
        }
        found.held = self.held;
        found.newly_held = self.held.except(before);
        found.touch_changed = self.held != before;
        found.stirring = !self.begun.except(self.held).is_empty();
    }

    /// The watched axes whose stick is further than `engage` from its rest.
    fn out(&self, policy: &CheckedPolicy<N>, frame: &Frame<N>) -> AxisSet {
        let (mut out, mut axis) = (AxisSet::EMPTY, AxisSet::FIRST);
        for ((stick, engage), x) in self.axes.iter().zip(&policy.engage).zip(frame.axes()) {
            if x.distance(stick.rest) > *engage {
                out = out | axis;
            }
            axis = axis.next();
        }
        out
    }

    /// Updates each stick that is held or further than `engage` from its rest.
    fn touch(&mut self, policy: &CheckedPolicy<N>, frame: &Frame<N>, out: AxisSet, found: &Findings) {
        let before = self.held;
        if found.fresh {
            // A good frame within `engage` breaks the row.
            self.begun = self.begun & (before | out);
        }
        let (concerned, mut axis) = (before | out, AxisSet::FIRST);
        for ((stick, rule), x) in self.axes.iter_mut().zip(&policy.policy().axes).zip(frame.axes()) {
            if concerned.meets(axis) {
                let begun = self.begun.meets(axis);
                if before.meets(axis) {
                    if begun {
                        stick.missing = stick.missing.saturating_sub(found.dt.as_ticks());
                    }
                    if found.fresh {
                        self.begun = self.begun | axis;
                        if stick.is_let_go(rule, *x, begun) {
                            self.held = self.held.except(axis);
                            self.begun = self.begun.except(axis);
                        }
                    }
                } else {
                    self.begun = self.begun | axis;
                    stick.missing = if begun { stick.missing } else { u32::from(rule.confirm) }.saturating_sub(1);
                    if stick.missing == 0 {
                        self.held = self.held | axis;
                        stick.stay_at(*x, rule);
                    }
                }
            }
            axis = axis.next();
        }
    }

    /// The student's set grew: every free stick that rests where left takes its position as its rest (R2).
    pub(super) fn rest_here(&mut self, policy: &CheckedPolicy<N>, frame: &Frame<N>) {
        let (free, mut axis) = (policy.where_left.except(self.held), AxisSet::FIRST);
        for (stick, x) in self.axes.iter_mut().zip(frame.axes()) {
            if free.meets(axis) {
                stick.rest = *x;
            }
            axis = axis.next();
        }
    }

    /// Whether a watched stick that has a rest is further than `limit` from it (H2).
    pub(super) fn any_beyond(&self, frame: &Frame<N>, limit: Deflection) -> bool {
        self.axes
            .iter()
            .zip(frame.axes())
            .any(|(stick, x)| stick.rest != NO_REST && x.distance(stick.rest) > limit.magnitude())
    }
}

impl Stick {
    /// Whether the held axis becomes free with this good frame (T3, R2).
    fn is_let_go(&mut self, rule: &AxisRule, x: Deflection, stay_begun: bool) -> bool {
        let release = rule.release.magnitude();
        if let Rest::At(rest) = rule.rest {
            return x.distance(rest) <= release;
        }
        if !stay_begun || x.distance(self.stay) > release {
            self.stay_at(x, rule);
        }
        let free = self.missing == 0;
        if free {
            self.rest = self.stay;
        }
        free
    }

    fn stay_at(&mut self, x: Deflection, rule: &AxisRule) {
        self.stay = x;
        self.missing = match rule.rest {
            Rest::At(_) => 0,
            Rest::WhereLeft { still } => still.as_ticks(),
        };
    }
}
