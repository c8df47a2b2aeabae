//! The watched sticks: where each one rests, and whether the instructor is holding it (T1, T3, R).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Elapsed};
use crate::deflection::{AxisSet, Deflection, Frame};
use crate::policy::Rest;
use crate::signal::Heard;

/// The watched sticks of all axes.
#[derive(Clone, Debug)]
pub(crate) struct Sticks<const N: usize> {
    /// The axes that the instructor is holding; a subset of the watched ones.
    held: AxisSet,
    /// Axes whose first rest has not been found yet (R2); they are held.
    restless: AxisSet,
    /// Held axes whose stay has a first position (R2).
    staying: AxisSet,
    axes: [Stick; N],
}

#[derive(Clone, Copy, Debug)]
struct Stick {
    /// Where the untouched stick is; nothing to go by while the axis is restless.
    rest: Deflection,
    /// The first position of the present stay.
    stay: Deflection,
    /// How long the present stay has lasted.
    still_for: Elapsed,
    /// Good frames in a row beyond `engage`, while free (T1).
    confirming: u8,
}

/// What a step found out about the sticks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Touch {
    /// The held axes.
    pub(crate) held: AxisSet,
    /// The axes that became held in this step.
    pub(crate) newly_held: AxisSet,
    /// Whether any axis became held or free in this step.
    pub(crate) changed: bool,
    /// Whether a free axis is on its way to being held: a row of T1 has begun.
    pub(crate) stirring: bool,
}

impl<const N: usize> Sticks<N> {
    pub(crate) const fn new(policy: &CheckedPolicy<N>) -> Self {
        let mut axes = [Stick::at(Deflection::CENTRE); N];
        let mut left = axes.as_mut_slice();
        let mut rules = policy.policy().axes.as_slice();
        while let ([stick, next @ ..], [rule, tail @ ..]) = (left, rules) {
            if let Rest::At(rest) = rule.rest {
                stick.rest = rest;
            }
            left = next;
            rules = tail;
        }
        Self { held: policy.where_left, restless: policy.where_left, staying: AxisSet::EMPTY, axes }
    }

    /// Sees the instructor's frame where a good one came; a loss begins every stay and every row anew (R3).
    pub(crate) fn step(&mut self, policy: &CheckedPolicy<N>, dt: Duration, heard: Heard, frame: &Frame<N>) -> Touch {
        let before = self.held;
        let mut stirring = false;
        let restart = heard.disturbed();
        if restart {
            self.staying = AxisSet::EMPTY;
        }
        for (((axis, stick), rule), x) in
            (0..).zip(&mut self.axes).zip(&policy.policy().axes).zip(frame.axes().iter().copied())
        {
            stick.still_for.advance(dt);
            if restart {
                stick.confirming = 0;
            }
            if !heard.fresh() || !policy.policy().watched.contains(axis) {
                continue;
            }
            let release = rule.release.magnitude();
            if !before.contains(axis) {
                if stick.takes(x, rule.engage, rule.confirm) {
                    self.held = self.held.with(axis);
                    self.staying = self.staying.with(axis);
                    stick.begin_stay(x);
                }
                stirring |= stick.confirming > 0;
                continue;
            }
            let free = match rule.rest {
                Rest::At(rest) => x.distance(rest) <= release,
                Rest::WhereLeft { still } => {
                    if !self.staying.contains(axis) || x.distance(stick.stay) > release {
                        self.staying = self.staying.with(axis);
                        stick.begin_stay(x);
                    }
                    stick.still_for.reached(still)
                }
            };
            if free {
                self.held = self.held.without(axis);
                if policy.where_left.contains(axis) {
                    self.restless = self.restless.without(axis);
                    stick.rest = stick.stay;
                }
            }
        }
        Touch { held: self.held, newly_held: self.held.except(before), changed: self.held != before, stirring }
    }

    /// The student's set grew: free sticks that rest where they are left rest here (R2).
    pub(crate) fn rest_here(&mut self, policy: &CheckedPolicy<N>, frame: &Frame<N>) {
        let free = policy.where_left.except(self.held);
        for ((axis, stick), x) in (0..).zip(&mut self.axes).zip(frame.axes()) {
            if free.contains(axis) {
                stick.rest = *x;
            }
        }
    }

    /// Whether a watched stick is further than `limit` from its rest (H2).
    pub(crate) fn any_beyond(&self, policy: &CheckedPolicy<N>, frame: &Frame<N>, limit: Deflection) -> bool {
        let rested = policy.policy().watched.except(self.restless);
        (0..)
            .zip(&self.axes)
            .zip(frame.axes())
            .any(|((axis, stick), x)| rested.contains(axis) && x.distance(stick.rest) > limit.magnitude())
    }

    /// The rest of each axis, for the way a stick moved (T6).
    pub(crate) fn rests(&self) -> impl Iterator<Item = Deflection> {
        self.axes.iter().map(|stick| stick.rest)
    }
}

impl Stick {
    const fn at(rest: Deflection) -> Self {
        Self { rest, stay: rest, still_for: Elapsed::ZERO, confirming: 0 }
    }

    /// Whether the stick, free until now, is held from this frame on (T1).
    fn takes(&mut self, x: Deflection, engage: Deflection, confirm: u8) -> bool {
        if x.distance(self.rest) <= engage.magnitude() {
            self.confirming = 0;
            return false;
        }
        self.confirming = self.confirming.saturating_add(1);
        let taken = self.confirming >= confirm;
        if taken {
            self.confirming = 0;
        }
        taken
    }

    fn begin_stay(&mut self, x: Deflection) {
        self.stay = x;
        self.still_for = Elapsed::ZERO;
    }
}
