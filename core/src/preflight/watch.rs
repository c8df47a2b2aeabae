//! Holds every step to what the policy says of who may fly: what takes the craft takes it at once, what keeps it keeps
//! it, and nothing is handed over too soon. Worked out beside the engine from the same inputs.

use super::finding::Finding;
use super::list::List;
use super::spot::Side;
use super::touch::{Seen, Touches};
use crate::engine::timer::Age;
use crate::engine::{Cause, Inputs, Link, Outcome, Reception};
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Duration, Instant};

/// What is known of the lesson so far.
#[derive(Clone, Debug)]
pub(super) struct Watch<const N: usize> {
    touches: Touches<N>,
    last: Option<Instant>,
    /// Who flew after the last step, as far as it was the student.
    student: AxisSet,
    link: Link,
    /// Since the last good frame of each side.
    ages: [Age; 2],
    /// How long the student's frames have come, the switch has been as it is, and everything has been in order.
    up: Option<u32>,
    on: Option<u32>,
    off: Option<u32>,
    calm: Option<u32>,
    /// How long a stick takeover has been on (H2).
    takeover: Option<u32>,
    /// What keeps the craft until the switch has been off (S2, H2).
    kept: Option<Cause>,
}

/// What the steps of the sequence want to know of a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Now {
    pub(super) dt: u32,
    /// How long the lesson switch has been seen on.
    pub(super) on: Option<u32>,
    /// Whether it has been seen off for `settle`.
    pub(super) off: bool,
    /// What keeps the craft until the switch has been off.
    pub(super) kept: Option<Cause>,
}

impl<const N: usize> Watch<N> {
    pub(super) fn new(policy: &CheckedPolicy<N>) -> Self {
        Self {
            touches: Touches::new(policy),
            last: None,
            student: AxisSet::EMPTY,
            link: Link::Lost,
            ages: [Age::ENDLESS; 2],
            up: None,
            on: None,
            off: None,
            calm: None,
            takeover: None,
            kept: None,
        }
    }

    pub(super) fn step(
        &mut self,
        policy: &CheckedPolicy<N>,
        inputs: &Inputs<'_, N>,
        outcome: &Outcome<N>,
        list: &mut List,
    ) -> Now {
        let dt = self.last.map_or(0, |last| outcome.at.as_ticks().wrapping_sub(last.as_ticks()));
        self.last = Some(outcome.at);
        let settle = policy.policy().settle.as_ticks();
        let (before, student) = (self.student, outcome.pilot.student());
        let grew = !student.is_subset_of(before);

        let disturbed = self.age(policy, outcome, dt);
        self.switch(inputs.lesson_switch, dt);
        let off = self.off.is_some_and(|off| off >= settle);
        let held_before = self.touches.held();
        let fresh = outcome.instructor == Reception::Good;
        let seen = Seen { frame: &outcome.stick, fresh, held: outcome.held, dt, disturbed, grew };
        let newly_held = self.touches.step(policy, seen, list);

        self.keep(policy, inputs, outcome, newly_held, dt);
        if off {
            (self.kept, self.takeover) = (None, None);
        }
        self.hold_taking(policy, inputs, outcome, newly_held, list);

        let in_order = self.on.is_some_and(|on| on >= settle)
            && !inputs.instructor_now
            && !outcome.late_step
            && !outcome.instructor_lost
            && outcome.instructor != Reception::Bad
            && self.up.is_some_and(|up| up >= policy.policy().requalify.as_ticks())
            && held_before == outcome.held
            && crate::engine::taken_by(policy, outcome.held) != AxisSet::ALL;
        self.calm = if in_order { Some(self.calm.map_or(0, |calm| calm.saturating_add(dt))) } else { None };
        if grew {
            self.hold_growing(policy, list);
            (self.kept, self.takeover) = (None, None);
        }
        (self.student, self.link) = (student, outcome.link);
        Now { dt, on: self.on, off, kept: self.kept }
    }

    /// The ages of the signals; whether sticks are judged anew (R3).
    fn age(&mut self, policy: &CheckedPolicy<N>, outcome: &Outcome<N>, dt: u32) -> bool {
        let (timeout, dt) = (policy.policy().timeout, Duration::from_ticks(dt));
        let [student, instructor] = &mut self.ages;
        if outcome.late_step {
            (*student, *instructor) = (Age::ENDLESS, Age::ENDLESS);
        }
        let was_lost = instructor.exceeded(timeout);
        let disturbed = outcome.late_step || (instructor.pass(dt).exceeded(timeout) && !was_lost);
        if student.pass(dt).exceeded(timeout) {
            self.up = None;
        }
        if outcome.instructor == Reception::Good {
            *instructor = Age::NEW;
        }
        let came = outcome.student == Reception::Good;
        if came {
            *student = Age::NEW;
        }
        self.up = match self.up {
            Some(up) => Some(up.saturating_add(dt.as_ticks())),
            None if came => Some(0),
            None => None,
        };
        if outcome.late_step {
            self.kept = Some(Cause::LateStep);
        } else if disturbed {
            self.kept = Some(Cause::InstructorLost);
        }
        disturbed
    }

    fn switch(&mut self, seen_on: bool, dt: u32) {
        let longer = |seen: Option<u32>| Some(seen.map_or(0, |seen| seen.saturating_add(dt)));
        (self.on, self.off) = if seen_on { (longer(self.on), None) } else { (None, longer(self.off)) };
    }

    /// What is to keep the craft from here on.
    fn keep(
        &mut self,
        policy: &CheckedPolicy<N>,
        inputs: &Inputs<'_, N>,
        outcome: &Outcome<N>,
        newly_held: AxisSet,
        dt: u32,
    ) {
        let rules = policy.policy();
        if self.link == Link::Good && outcome.link != Link::Good && rules.off_first_after_loss {
            self.kept = Some(Cause::LinkLost);
        }
        let slammed = outcome.instructor == Reception::Bad && !self.student.is_empty();
        self.takeover = match self.takeover {
            Some(on) => Some(on.saturating_add(dt)),
            None if slammed || crate::engine::taken_by(policy, newly_held).meets(self.student) => Some(0),
            None => None,
        };
        let Some(on) = self.takeover else {
            if inputs.instructor_now {
                self.kept = Some(Cause::InstructorNow);
            }
            return;
        };
        let beyond = rules.latches.beyond.is_some_and(|limit| self.touches.any_beyond(&outcome.stick, limit));
        if newly_held.meets(policy.keep) || rules.latches.lasted.is_some_and(|d| on >= d.as_ticks()) || beyond {
            let axis = outcome.held.lowest().unwrap_or_default();
            self.kept = self.kept.or(Some(Cause::Stick(axis)));
        }
        if inputs.instructor_now {
            self.kept = Some(Cause::InstructorNow);
        }
    }

    /// What takes the craft leaves the student nothing of what it takes, in the same step (T2, T4).
    fn hold_taking(
        &self,
        policy: &CheckedPolicy<N>,
        inputs: &Inputs<'_, N>,
        outcome: &Outcome<N>,
        newly_held: AxisSet,
        list: &mut List,
    ) {
        let student = outcome.pilot.student();
        let [student_age, _] = self.ages;
        let late = student_age.exceeded(policy.policy().timeout);
        let by = if student.is_empty() {
            return;
        } else if inputs.instructor_now {
            Cause::InstructorNow
        } else if !inputs.lesson_switch {
            Cause::SwitchOff
        } else if outcome.link != Link::Good || late {
            Cause::LinkLost
        } else if let Some(axis) = newly_held.lowest()
            && crate::engine::taken_by(policy, newly_held).meets(student)
        {
            Cause::Stick(axis)
        } else {
            return;
        };
        list.note(Finding::NotTaken { by });
    }

    /// What is handed over is neither kept nor too soon (H1, S2, H2).
    fn hold_growing(&self, policy: &CheckedPolicy<N>, list: &mut List) {
        let dwell = policy.policy().dwell;
        if let Some(by) = self.kept {
            list.note(Finding::NotKept { by });
        } else if self.calm.is_none_or(|calm| calm < dwell.as_ticks()) {
            list.note(Finding::HandedTooSoon { seen: Duration::from_ticks(self.calm.unwrap_or(0)), dwell });
        }
    }

    /// The side whose signal is lost, the instructor's first.
    pub(super) fn lost(outcome: &Outcome<N>) -> Option<Side> {
        if outcome.instructor_lost {
            Some(Side::Instructor)
        } else if outcome.link == Link::Lost {
            Some(Side::Student)
        } else {
            None
        }
    }
}
