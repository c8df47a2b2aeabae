//! What keeps the craft with the instructor after a takeover, until the lesson switch has been off (H2).
//!
//! Rules: H2, T7

use super::findings::{Findings, Objections};
use super::stick::Sticks;
use super::timer::Left;
use crate::policy::{CheckedPolicy, Latches};
use crate::quantity::{AxisSet, Duration, Frame};

/// A stick takeover and its latch, as a timer: the time until the takeover latches. Not begun: no takeover is on and
/// nothing is latched. Over: latched. The latch outlasts the takeover.
#[derive(Clone, Debug, Hash)]
pub(super) struct Latch(Left);

/// The time of a takeover that does not latch by its duration; longer than any duration of a policy.
const ANY_TIME: Duration = Duration::from_ticks(u32::MAX - 1);

/// What a latch looks at besides the findings of the step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look<'a, const N: usize> {
    pub(super) sticks: &'a Sticks<N>,
    pub(super) instructor: &'a Frame<N>,
    /// The axes that the student flew in the step before.
    pub(super) student: AxisSet,
    /// Whether the instructor asks for the craft with the button (T7).
    pub(super) instructor_now: bool,
    /// Whether the lesson switch has been seen off for `settle` (S3).
    pub(super) switch_off: bool,
}

impl Latch {
    pub(super) const fn new() -> Self {
        Self(Left::NOT_BEGUN)
    }

    /// Begins or continues a takeover, sets or clears the latch, and says so in the findings.
    pub(super) fn step<const N: usize>(&mut self, policy: &CheckedPolicy<N>, look: Look<'_, N>, found: &mut Findings) {
        self.pass(policy.policy().latches, look.student, found);
        if self.takeover() && sets(policy, look, found) {
            self.0 = Left::OVER;
        }
        if look.instructor_now {
            found.objections |= Objections::INSTRUCTOR_NOW;
            self.0 = Left::OVER;
        }
        if look.switch_off {
            self.clear();
        }
        if self.0.is_over() {
            found.objections |= Objections::LATCH;
        }
    }

    /// Ends the takeover and its latch: the student's set grew, or the lesson switch has been off.
    pub(super) const fn clear(&mut self) {
        self.0 = Left::NOT_BEGUN;
    }

    /// Whether a stick takeover is on that has not latched.
    const fn takeover(&self) -> bool {
        self.0.has_begun() && !self.0.is_over()
    }

    /// Begins a takeover, or lets the time of one pass.
    fn pass(&mut self, latches: Latches, student: AxisSet, found: &Findings) {
        if self.0.has_begun() {
            if latches.lasted.is_some() {
                self.0.pass(found.dt);
            }
            return;
        }
        // A stick slammed past `plausible` is a stick takeover too.
        let slammed = found.raised(Objections::BAD_FRAME) && !student.is_empty();
        if slammed || found.newly_taken.meets(student) {
            self.0 = Left::all_of(latches.lasted.unwrap_or(ANY_TIME));
        }
    }
}

/// Whether `keep` of an axis or `beyond` latches the takeover in this step.
fn sets<const N: usize>(policy: &CheckedPolicy<N>, look: Look<'_, N>, found: &Findings) -> bool {
    let beyond = || policy.policy().latches.beyond.is_some_and(|limit| look.sticks.any_beyond(look.instructor, limit));
    found.newly_held.meets(policy.keep) || beyond()
}
