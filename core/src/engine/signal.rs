//! The state of the two signals: good, aged, lost or qualifying (L, I, K1).
//!
//! Rules: L1, L2, L3, L4, I1, I2

use super::findings::{Heard, Objections};
use super::outcome::{Link, Reception};
use super::timer::{Age, Left};
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Duration, Frame};

/// Both sides' signals.
#[derive(Clone, Debug, Hash)]
pub(super) struct Signals<const N: usize> {
    instructor: Stream<N>,
    student: Stream<N>,
    /// Time for which the student link must still qualify (L2): not begun while the link is lost, over while it is
    /// good.
    qualifies: Left,
    /// Time for which the shared axes may still not change (L4): not begun before the first good frame, over while the
    /// link is frozen.
    may_rest: Left,
}

/// One side's frames: the last good one and its age.
#[derive(Clone, Debug, Hash)]
struct Stream<const N: usize> {
    frame: Frame<N>,
    /// Time since the step that brought the frame; endless before the first frame and after a late step.
    age: Age,
}

impl<const N: usize> Signals<N> {
    pub(super) const fn new(policy: &CheckedPolicy<N>) -> Self {
        Self {
            instructor: Stream::new(policy.failsafe_frame()),
            student: Stream::new(Frame::CENTRE),
            qualifies: Left::NOT_BEGUN,
            may_rest: Left::NOT_BEGUN,
        }
    }

    /// The instructor's last good frame, the failsafe frame before the first one.
    pub(super) const fn instructor(&self) -> &Frame<N> {
        &self.instructor.frame
    }

    /// The student's last good frame; valid only while the link is good.
    pub(super) const fn student(&self) -> &Frame<N> {
        &self.student.frame
    }

    pub(super) const fn link(&self) -> Link {
        if self.qualifies.is_over() {
            Link::Good
        } else if self.qualifies.has_begun() {
            Link::Qualifying
        } else {
            Link::Lost
        }
    }

    /// Time for which the student link must still qualify; all of `requalify` while the link is lost.
    pub(super) const fn qualifies_for(&self, requalify: Duration) -> Duration {
        self.qualifies.of(requalify)
    }

    /// Marks both signals as lost before this step's frames are read (K1).
    #[cold]
    pub(super) const fn lose(&mut self) {
        self.instructor.age = Age::ENDLESS;
        self.student.age = Age::ENDLESS;
    }

    /// See [`Engine::normalise`](super::Engine::normalise).
    #[cfg(feature = "states")]
    pub(super) fn normalise(&mut self, policy: &CheckedPolicy<N>) {
        self.instructor.age = self.instructor.age.normal(policy.policy().failsafe_after);
        self.student.age = self.student.age.normal(policy.policy().timeout);
    }

    /// Reads the instructor's frame (I).
    #[inline]
    pub(super) fn hear_instructor(&mut self, policy: &CheckedPolicy<N>, frame: Option<&Frame<N>>, heard: &mut Heard) {
        let policy = policy.policy();
        let before = self.instructor.age;
        let age = self.instructor.age.pass(heard.dt);
        let (reception, good) = judge(frame, |frame| frame.within(policy.plausible));
        heard.instructor = reception;
        self.instructor.take(good);
        if matches!(heard.instructor, Reception::Bad) {
            heard.objections |= Objections::BAD_FRAME;
        }
        if age.exceeded(policy.timeout) {
            heard.objections |= Objections::INSTRUCTOR_WAS_LOST;
            if !before.exceeded(policy.timeout) {
                heard.objections |= Objections::INSTRUCTOR_JUST_LOST;
            }
            if !matches!(heard.instructor, Reception::Good) {
                heard.objections |= Objections::INSTRUCTOR_LOST;
                if age.exceeded(policy.failsafe_after) {
                    heard.objections |= Objections::NOBODY;
                }
            }
        }
    }

    /// Reads the student's frame (L).
    #[inline]
    pub(super) fn hear_student(&mut self, policy: &CheckedPolicy<N>, frame: Option<&Frame<N>>, heard: &mut Heard) {
        let policy = policy.policy();
        let silent = self.student.age.pass(heard.dt).exceeded(policy.timeout);
        let (reception, good) = judge(frame, |frame| {
            frame.within(policy.plausible) || !frame.beyond(policy.plausible).meets(policy.shared)
        });
        heard.student = reception;
        let frozen = match policy.frozen_after {
            Some(limit) => self.is_frozen(limit, policy.shared, good, heard.dt),
            None => false,
        };
        self.student.take(good);
        if silent || frozen {
            heard.objections |= Objections::NO_LINK;
            if self.qualifies.is_over() {
                heard.objections |= Objections::LINK_JUST_LOST;
            }
            if !silent {
                heard.objections |= Objections::LINK_FROZEN;
            }
            self.qualifies = Left::NOT_BEGUN;
        }
        if self.qualifies.is_over() {
            return;
        }
        if self.qualifies.has_begun() {
            self.qualifies.pass(heard.dt);
        } else if good.is_some() && !frozen {
            // Only a good frame ends a loss.
            self.qualifies = Left::all_of(policy.requalify);
        }
        if !self.qualifies.is_over() {
            heard.objections |= Objections::NO_LINK;
        }
    }

    /// Whether the shared axes have not changed for too long (L4). `good`: this step's frame, if it is good; the frame
    /// before it is still the last good one.
    #[inline(never)]
    fn is_frozen(&mut self, limit: Duration, shared: AxisSet, good: Option<&Frame<N>>, dt: Duration) -> bool {
        // The first good frame counts as a change.
        let first = !self.may_rest.has_begun();
        if good.is_some_and(|frame| first || frame.differs(shared, &self.student.frame)) {
            self.may_rest = Left::just_past(limit);
        } else if !first {
            self.may_rest.pass(dt);
        }
        self.may_rest.is_over()
    }
}

impl<const N: usize> Stream<N> {
    const fn new(stand_in: Frame<N>) -> Self {
        Self { frame: stand_in, age: Age::ENDLESS }
    }

    #[inline]
    fn take(&mut self, good: Option<&Frame<N>>) {
        if let Some(frame) = good {
            self.frame = *frame;
            self.age = Age::NEW;
        }
    }
}

/// What came, and the frame if it is good.
#[inline]
fn judge<const N: usize>(
    frame: Option<&Frame<N>>,
    is_good: impl FnOnce(&Frame<N>) -> bool,
) -> (Reception, Option<&Frame<N>>) {
    match frame {
        None => (Reception::Nothing, None),
        Some(frame) if is_good(frame) => (Reception::Good, Some(frame)),
        Some(_) => (Reception::Bad, None),
    }
}
