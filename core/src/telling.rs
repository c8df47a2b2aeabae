//! What people are told: why who flies has changed, and what the student's axes are waiting for (A1, A2).

use crate::clock::Duration;
use crate::outcome::{Authority, Cause, Reception, Waiting};
use crate::signal::Heard;
use crate::stick::Touch;
use crate::switch::Lesson;

/// What a step found out before it says who flies.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Findings {
    pub(crate) heard: Heard,
    pub(crate) touch: Touch,
    pub(crate) lesson: Lesson,
    pub(crate) latched: bool,
    pub(crate) instructor_now: bool,
}

impl Findings {
    /// Something takes the whole craft, sticks apart (T4).
    pub(crate) fn withhold(self) -> bool {
        self.heard.instructor_was_lost
            || self.heard.link_gone()
            || matches!(self.heard.instructor, Reception::Bad)
            || self.instructor_now
            || self.lesson != Lesson::On
            || self.latched
    }

    /// Why the craft has passed on from `before`: the first cause that applies (A1).
    pub(crate) fn cause(self, before: Authority) -> Cause {
        if self.heard.stalled {
            Cause::Stall
        } else if self.heard.instructor_just_lost || self.heard.instructor_lost {
            Cause::InstructorLost
        } else if before == Authority::Nobody {
            Cause::InstructorBack
        } else if self.instructor_now {
            Cause::InstructorNow
        } else if matches!(self.heard.instructor, Reception::Bad) {
            Cause::BadFrame
        } else if matches!(self.lesson, Lesson::JustOff | Lesson::Off) {
            Cause::SwitchOff
        } else if self.heard.link_gone() {
            Cause::LinkLost
        } else if let Some(axis) = self.touch.newly_held.lowest() {
            Cause::Stick(axis)
        } else if self.latched {
            Cause::Latch
        } else {
            Cause::HandedBack
        }
    }

    /// The first thing waited for before the dwell (A2); `qualifies_for`: how long the student link has to go on.
    pub(crate) fn waiting(self, qualifies_for: Duration) -> Option<Waiting> {
        if self.heard.instructor_lost {
            return Some(Waiting::InstructorSignal);
        }
        match self.lesson {
            Lesson::JustOff | Lesson::Off => return Some(Waiting::Switch),
            Lesson::Unarmed => return Some(Waiting::Arming),
            Lesson::Settling { left } => return Some(Waiting::Settling { left }),
            Lesson::On => {}
        }
        if self.latched {
            return Some(Waiting::Latch);
        }
        if self.heard.link_gone() {
            return Some(Waiting::StudentLink { left: qualifies_for });
        }
        self.touch.held.lowest().map(Waiting::Held)
    }
}
