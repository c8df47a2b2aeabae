//! Who flies: which axes the student has, how that set shrinks (T4, T5), and when it may grow (H1, H3).
//!
//! Rules: T5, H1, H3

use super::findings::{Findings, Objections};
use super::outcome::Pilot;
use super::timer::Left;
use crate::policy::{CheckedPolicy, Scope};
use crate::quantity::{AxisSet, Duration, Frame, WideSet};

/// Who flies, and the dwell that lets the student's set grow.
#[derive(Clone, Copy, Debug, Hash)]
pub(super) struct Share {
    /// Time for which the conditions of H1 must still hold without a break; not begun while one of them does not hold.
    dwells: Left,
    /// The axes that the student flies; a subset of the shared ones, none of them held.
    student: AxisSet,
    last: LastStep,
}

/// The result of the last step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum LastStep {
    /// There was no step yet.
    None,
    /// No good instructor's frame has come yet; this is not announced (S1).
    Unannounced,
    /// Nobody flew (I2).
    Nobody,
    /// T4 held.
    Withheld,
    /// T4 did not hold.
    Open,
    /// The student flew every shared axis; no axis was held, waited or faded, and no row had begun.
    Quiet,
}

impl LastStep {
    /// Whether a change in the step after it is not announced.
    pub(super) const fn is_silent(self) -> bool {
        matches!(self, Self::None | Self::Unannounced)
    }

    /// Whether T4 held in it.
    pub(super) const fn withheld(self) -> bool {
        !matches!(self, Self::Open | Self::Quiet)
    }
}

/// What held axes take from the student (T5).
pub(super) const fn taken_by<const N: usize>(policy: &CheckedPolicy<N>, held: AxisSet) -> AxisSet {
    if held.is_subset_of(policy.alone) { held } else { AxisSet::ALL }
}

/// Those of these axes whose gate is closed: the two sticks are further apart than `window` (H3).
fn closed_gates<const N: usize>(
    policy: &CheckedPolicy<N>,
    axes: AxisSet,
    instructor: &Frame<N>,
    student: &Frame<N>,
) -> AxisSet {
    let gated = policy.gated & axes;
    if gated.is_empty() {
        return AxisSet::EMPTY;
    }
    let (mut closed, mut this) = (WideSet::EMPTY, WideSet::FIRST);
    let sticks = instructor.axes().iter().zip(student.axes());
    for (ask, (i, s)) in policy.asks.iter().zip(sticks) {
        if !i.is_within(ask.window, *s) {
            closed = closed.with(this);
        }
        this = this.next();
    }
    closed.narrow() & gated
}

impl Share {
    pub(super) const fn new() -> Self {
        Self { dwells: Left::NOT_BEGUN, student: AxisSet::EMPTY, last: LastStep::None }
    }

    pub(super) const fn student(self) -> AxisSet {
        self.student
    }

    pub(super) const fn last(self) -> LastStep {
        self.last
    }

    pub(super) const fn nobody_flew(self) -> bool {
        matches!(self.last, LastStep::None | LastStep::Unannounced | LastStep::Nobody)
    }

    /// Who flew in the last step.
    pub(super) const fn pilot(self) -> Pilot {
        if self.nobody_flew() { Pilot::Nobody } else { Pilot::with_student(self.student) }
    }

    /// Remaining time of the dwell; all of it where the dwell has not begun, `None` once it is over.
    pub(super) fn dwell_left(self, dwell: Duration) -> Option<Duration> {
        (!self.dwells.is_over()).then(|| self.dwells.of(dwell))
    }

    /// Marks the last step as quiet: the next step may take the short path.
    pub(super) fn rest(&mut self) {
        self.last = LastStep::Quiet;
    }

    pub(super) fn step<const N: usize>(
        &mut self,
        policy: &CheckedPolicy<N>,
        instructor: &Frame<N>,
        student: &Frame<N>,
        found: &mut Findings,
    ) {
        found.newly_withheld = found.withheld() && !self.last.withheld();
        self.last = if !found.withheld() {
            LastStep::Open
        } else if !found.raised(Objections::NOBODY) {
            LastStep::Withheld
        } else if self.last.is_silent() {
            LastStep::Unannounced
        } else {
            LastStep::Nobody
        };
        let before = self.student;
        let taken = if found.withheld() { AxisSet::ALL } else { found.taken };
        self.student = before.except(taken);
        found.leaving = before & taken;

        // T4 and a held axis that takes everything have the same effect here, as H1 says.
        if taken == AxisSet::ALL || found.touch_changed {
            self.dwells = Left::NOT_BEGUN;
        } else if self.dwells.has_begun() {
            self.dwells.pass(found.dt);
        } else {
            self.dwells = Left::all_of(policy.policy().dwell);
        }

        let free = policy.policy().shared.except(found.held | self.student);
        if free.is_empty() || !self.dwells.is_over() {
            return;
        }
        found.closed = closed_gates(policy, free, instructor, student);
        let opens = found.closed.is_empty() || matches!(policy.policy().scope, Scope::Axis);
        if found.fresh && !found.stirring && opens {
            found.joining = free.except(found.closed);
            self.student = self.student | found.joining;
        }
    }
}
