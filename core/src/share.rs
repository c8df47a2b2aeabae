//! The student's set: which axes the student flies, how it shrinks, and when it may grow (T4, T5, H1, H3).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Elapsed};
use crate::deflection::{AxisSet, Frame};
use crate::policy::{Policy, Scope};
use crate::telling::Findings;

/// The student's set and the dwell that lets it grow.
#[derive(Clone, Debug)]
pub(crate) struct Share {
    /// The axes that the student flies; a subset of the shared ones, none of them held.
    student: AxisSet,
    /// How long everything has been in order without a break, if it is (H1).
    ready_for: Option<Elapsed>,
}

/// How the student's set changed in a step; one of the two is empty.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Change {
    pub(crate) leaving: AxisSet,
    pub(crate) joining: AxisSet,
}

impl<const N: usize> CheckedPolicy<N> {
    /// What held axes take from the student (T5).
    pub(crate) fn taken_by(&self, held: AxisSet) -> AxisSet {
        let Policy { scope, shared, .. } = *self.policy();
        match scope {
            _ if held.is_empty() => AxisSet::EMPTY,
            Scope::Axis if held.is_subset_of(shared) => held,
            Scope::Axis | Scope::Craft => AxisSet::ALL,
        }
    }
}

/// Of these axes the ones whose sticks are too far apart to go to the student (H3).
pub(crate) fn closed_gates<const N: usize>(
    policy: &CheckedPolicy<N>,
    axes: AxisSet,
    instructor: &Frame<N>,
    student: &Frame<N>,
) -> AxisSet {
    let gated = policy.gated & axes;
    if gated.is_empty() {
        return AxisSet::EMPTY;
    }
    (0..)
        .zip(&policy.policy().axes)
        .zip(instructor.axes().iter().zip(student.axes()))
        .filter(|((axis, rule), (i, s))| {
            gated.contains(*axis) && rule.window.is_some_and(|window| i.distance(**s) > window.magnitude())
        })
        .fold(AxisSet::EMPTY, |closed, ((axis, _), _)| closed.with(axis))
}

impl Share {
    pub(crate) const fn new() -> Self {
        Self { student: AxisSet::EMPTY, ready_for: None }
    }

    pub(crate) const fn student(&self) -> AxisSet {
        self.student
    }

    /// How much of the dwell is left, all of it where it has not begun; `None` once it is over.
    pub(crate) fn dwell_left(&self, dwell: Duration) -> Option<Duration> {
        match self.ready_for {
            Some(ready_for) if ready_for.reached(dwell) => None,
            Some(ready_for) => Some(ready_for.left_of(dwell)),
            None => Some(dwell),
        }
    }

    pub(crate) fn step<const N: usize>(
        &mut self,
        policy: &CheckedPolicy<N>,
        dt: Duration,
        found: Findings,
        instructor: &Frame<N>,
        student: &Frame<N>,
    ) -> Change {
        let before = self.student;
        let taken = if found.withhold() { AxisSet::ALL } else { policy.taken_by(found.touch.held) };
        self.student = before.except(taken);

        // T4 and a held axis that takes everything look alike here, and so they should.
        self.ready_for = match self.ready_for {
            _ if taken == AxisSet::ALL || found.touch.changed => None,
            None => Some(Elapsed::ZERO),
            Some(ready_for) => Some(ready_for.after(dt)),
        };
        let may_grow = found.heard.fresh() && !found.touch.stirring;
        if may_grow && self.dwell_left(policy.policy().dwell).is_none() {
            let free = policy.policy().shared.except(found.touch.held | self.student);
            let closed = closed_gates(policy, free, instructor, student);
            self.student = match policy.policy().scope {
                Scope::Craft if !closed.is_empty() => self.student,
                Scope::Craft | Scope::Axis => self.student | free.except(closed),
            };
        }
        Change { leaving: before.except(self.student), joining: self.student.except(before) }
    }
}
