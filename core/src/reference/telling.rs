//! Telling people: what changed and why (A1), and what is waited for (A2).

use super::quantity::left;
use super::{Axis, Facts, Model};
use crate::engine::{Cause, Event, Link, Outcome, Pilot, Reception, Waiting};

impl<const N: usize> Model<N> {
    /// The outcome of the step, when all is decided.
    pub(super) fn tell(&mut self, facts: &Facts) -> Outcome<N> {
        let pilot = self.pilot(facts);
        Outcome {
            at: facts.now,
            output: self.frame_of(|axis| axis.output),
            pilot,
            event: self.announce(facts, pilot),
            waiting: self.waiting(),
            held: self.set_of(|axis| axis.held),
            pickup: self.set_of(|axis| axis.wait.is_some()),
            stick: self.frame_of(|axis| axis.instructor),
            instructor: facts.instructor,
            student: facts.student,
            instructor_lost: self.instructor.lost,
            link: self.student.state,
            late_step: facts.late_step,
        }
    }

    fn pilot(&self, facts: &Facts) -> Pilot {
        if facts.nobody { Pilot::Nobody } else { Pilot::with_student(self.set_of(|axis| axis.students)) }
    }

    /// A1: one event for every change, except for changes up to the first good frame and in its step (S1).
    fn announce(&mut self, facts: &Facts, to: Pilot) -> Option<Event> {
        let from = self.announced;
        if from.is_some() || facts.instructor == Reception::Good {
            self.announced = Some(to);
        }
        let from = from.filter(|from| *from != to)?;
        Some(Event { at: facts.now, from, to, cause: self.cause(facts) })
    }

    /// A1: the first that applies.
    fn cause(&self, facts: &Facts) -> Cause {
        let became_held = self.axes.iter().find(|axis| axis.became_held);
        if facts.late_step {
            Cause::LateStep
        } else if self.instructor.noticed || self.instructor.lost {
            Cause::InstructorLost
        } else if self.instructor.is_back() {
            Cause::InstructorBack
        } else if facts.instructor_now {
            Cause::InstructorNow
        } else if facts.instructor == Reception::Bad {
            Cause::BadFrame
        } else if !self.switch.is_on() {
            Cause::SwitchOff
        } else if self.student.frozen {
            Cause::LinkFrozen
        } else if self.student.forbids() {
            Cause::LinkLost
        } else if let Some(axis) = became_held {
            Cause::Stick(axis.number)
        } else if self.latched {
            Cause::Latch
        } else {
            Cause::HandedBack
        }
    }

    /// A2: the first thing waited for, while the student has less than the shared axes.
    fn waiting(&self) -> Option<Waiting> {
        let policy = self.policy;
        if self.axes.iter().all(|axis| axis.students == axis.shared) {
            return None;
        }
        let held = self.axes.iter().find(|axis| axis.held);
        let gated = self.axes.iter().find(|axis| axis.is_gated());
        let dwell_left = self.ready.map_or(policy.dwell, |lasted| left(policy.dwell, lasted));
        Some(if self.instructor.lost {
            Waiting::InstructorSignal
        } else if !self.switch.is_on() {
            Waiting::Switch
        } else if !self.switch.off_first {
            Waiting::SwitchOffFirst
        } else if !self.switch.has_settled(policy.settle) {
            Waiting::Settling { left: left(policy.settle, self.switch.seen_for) }
        } else if self.latched {
            Waiting::Latch
        } else if self.student.forbids() {
            let qualified_for = if self.student.state == Link::Lost { 0.0 } else { self.student.qualified_for };
            Waiting::StudentLink { left: left(policy.requalify, qualified_for) }
        } else if let Some(axis) = held {
            Waiting::Held(axis.number)
        } else if self.ready.is_none() || !dwell_left.is_zero() {
            Waiting::Dwell { left: dwell_left }
        } else {
            // Where no gate is closed, only a good frame is missing: a dwell with 0 left.
            gated.map_or(Waiting::Dwell { left: dwell_left }, |axis: &Axis| Waiting::Gate(axis.number))
        })
    }
}
