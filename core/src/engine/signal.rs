//! The state of the two signals: good, aged, lost or qualifying (L, I, K1).
//!
//! Rules: L1, L2, L3, I1, I2

use super::findings::{Heard, Objections};
use super::outcome::{Link, Reception};
use super::timer::{Age, Left};
use crate::policy::CheckedPolicy;
use crate::quantity::{Duration, Frame};

/// Both sides' signals.
#[derive(Clone, Debug)]
pub(super) struct Signals<const N: usize> {
    instructor: Stream<N>,
    student: Stream<N>,
    /// Time for which the student link must still qualify (L2): not begun while the link is lost, over while it is
    /// good.
    qualifies: Left,
}

/// One side's frames: the last good one and its age.
#[derive(Clone, Debug)]
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

    /// Reads the instructor's frame (I).
    #[inline]
    pub(super) fn hear_instructor(&mut self, policy: &CheckedPolicy<N>, frame: Option<&Frame<N>>, heard: &mut Heard) {
        let policy = policy.policy();
        let before = self.instructor.age;
        let age = self.instructor.age.pass(heard.dt);
        heard.instructor = self.instructor.receive(frame, |frame| frame.within(policy.plausible));
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
        if self.student.age.pass(heard.dt).exceeded(policy.timeout) {
            heard.objections |= Objections::NO_LINK;
            if self.qualifies.is_over() {
                heard.objections |= Objections::LINK_JUST_LOST;
            }
            self.qualifies = Left::NOT_BEGUN;
        }
        heard.student = self.student.receive(frame, |frame| {
            frame.within(policy.plausible) || !frame.beyond(policy.plausible).meets(policy.shared)
        });
        if self.qualifies.is_over() {
            return;
        }
        if self.qualifies.has_begun() {
            self.qualifies.pass(heard.dt);
        } else if matches!(heard.student, Reception::Good) {
            // Only a good frame ends a loss.
            self.qualifies = Left::all_of(policy.requalify);
        }
        if !self.qualifies.is_over() {
            heard.objections |= Objections::NO_LINK;
        }
    }
}

impl<const N: usize> Stream<N> {
    const fn new(stand_in: Frame<N>) -> Self {
        Self { frame: stand_in, age: Age::ENDLESS }
    }

    #[inline]
    fn receive(&mut self, frame: Option<&Frame<N>>, good: impl FnOnce(&Frame<N>) -> bool) -> Reception {
        let Some(frame) = frame else { return Reception::Nothing };
        if !good(frame) {
            return Reception::Bad;
        }
        self.frame = *frame;
        self.age = Age::NEW;
        Reception::Good
    }
}
