//! The step: calls the other modules in the order of the contract.

mod findings;
mod latch;
mod outcome;
mod share;
mod signal;
mod stick;
mod switch;
pub(crate) mod timer;
mod transfer;
mod weight;

pub use outcome::{Cause, Event, Link, Outcome, Pilot, Reception, Waiting};

use self::findings::{Findings, Heard, Objections};
use self::latch::Latch;
use self::share::{LastStep, Share, closed_gates};
use self::signal::Signals;
use self::stick::Sticks;
use self::switch::SettledSwitch;
use self::transfer::{Sides, Transfer};
use crate::policy::{CheckedPolicy, Latches};
use crate::quantity::{AxisSet, Duration, Frame, Instant};

/// The inputs of one step.
///
/// The default is a step without a frame, with the lesson switch off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Inputs<'a, const N: usize> {
    /// The instructor's frame, if one came since the step before.
    pub instructor: Option<&'a Frame<N>>,
    /// The student's frame, if one came since the step before.
    pub student: Option<&'a Frame<N>>,
    /// Whether the lesson switch is seen on.
    pub lesson_switch: bool,
    /// Whether the instructor asks for the craft with a button (T7).
    pub instructor_now: bool,
}

/// The takeover engine: a borrowed policy, which no step can change, and the state of one lesson.
///
/// ```
/// use handback::{Pilot, AxisRule, Deflection, Engine, Frame, Inputs, Instant, Policy};
/// let policy = Policy::new([AxisRule::sprung(), AxisRule::sprung()]).check()?;
/// let mut engine = Engine::new(&policy);
/// let sticks = Frame::new([Deflection::from_points(7), Deflection::CENTRE]);
/// let outcome = engine.step(Instant::from_ticks(0), Inputs { instructor: Some(&sticks), ..Inputs::default() });
/// assert_eq!((outcome.pilot, outcome.output), (Pilot::Instructor, sticks));
/// # Ok::<(), handback::PolicyError>(())
/// ```
#[derive(Clone, Debug)]
#[repr(C)] // the fields that every step reads come first, within the short offsets of a small processor
pub struct Engine<'p, const N: usize> {
    policy: &'p CheckedPolicy<N>,
    /// The instant of the last step.
    last: Instant,
    share: Share,
    latch: Latch,
    switch: SettledSwitch,
    signals: Signals<N>,
    sticks: Sticks<N>,
    transfer: Transfer<N>,
}

impl<'p, const N: usize> Engine<'p, N> {
    /// An engine at the start of a lesson (S1).
    pub const fn new(policy: &'p CheckedPolicy<N>) -> Self {
        Self {
            policy,
            last: Instant::from_ticks(0),
            signals: Signals::new(policy),
            sticks: Sticks::new(policy),
            switch: SettledSwitch::new(policy),
            latch: Latch::new(),
            share: Share::new(),
            transfer: Transfer::new(),
        }
    }

    /// One step of the lesson: call it for every frame, or more often.
    ///
    /// `now` may wrap: only its difference from the last step counts. A difference above `late_step` is a late step
    /// (K1). Never fails: every input has an outcome.
    #[must_use = "the output is what the craft must be sent"]
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let mut heard = self.time(now);
        self.signals.hear_instructor(self.policy, inputs.instructor, &mut heard);
        self.signals.hear_student(self.policy, inputs.student, &mut heard);
        if !self.goes_on(heard, &inputs) {
            return self.decide(now, &inputs, heard);
        }
        let student = self.share.student();
        self.transfer.follow(Sides::new(&self.signals, student));
        Outcome {
            at: now,
            output: *self.transfer.output(),
            pilot: Pilot::Student(student),
            event: None,
            waiting: None,
            held: AxisSet::EMPTY,
            pickup: AxisSet::EMPTY,
            stick: *self.signals.instructor(),
            instructor: heard.instructor,
            student: heard.student,
            instructor_lost: false,
            link: Link::Good,
            late_step: false,
        }
    }

    /// Clock: the time since the step before, and whether it was too long (K1).
    #[inline]
    fn time(&mut self, now: Instant) -> Heard {
        let last = if self.share.last() == LastStep::None { now } else { self.last };
        self.last = now;
        let dt = Duration::from_ticks(now.as_ticks().wrapping_sub(last.as_ticks()));
        let mut heard = Heard::nothing(dt);
        if dt.as_ticks() > self.policy.policy().late_step.as_ticks() {
            heard.objections = Objections::STALL;
            self.signals.lose();
        }
        heard
    }

    /// Whether the step can take the short path, as most steps of a lesson do: the student flies, no objection was
    /// found, the switch is on, and every stick is within `engage` of its rest. The rules then have nothing to decide.
    #[inline]
    fn goes_on(&self, heard: Heard, inputs: &Inputs<'_, N>) -> bool {
        inputs.lesson_switch
            && !inputs.instructor_now
            && self.share.last() == LastStep::Quiet
            && !heard.objections.any()
            && self.sticks.at_rest(self.policy, self.signals.instructor())
    }

    /// Any other step, from the sticks on.
    #[inline(never)]
    fn decide(&mut self, now: Instant, inputs: &Inputs<'_, N>, heard: Heard) -> Outcome<N> {
        let found = &mut Findings::new(heard);
        let before = self.share;
        self.sticks.step(self.policy, self.signals.instructor(), found);
        self.switch.step(self.policy, inputs.lesson_switch, found);
        self.latch(inputs.instructor_now, found);
        self.share(found);
        self.output(found);
        let event = self.announce(now, before, found);
        let waiting = self.waiting(found);
        if waiting.is_none() && self.sticks.untouched() && self.transfer.still() && !self.share.student().is_empty() {
            self.share.rest();
        }
        Outcome {
            at: now,
            output: *self.transfer.output(),
            pilot: self.share.pilot(),
            event,
            waiting,
            held: found.held,
            pickup: self.transfer.waiting(),
            stick: *self.signals.instructor(),
            instructor: heard.instructor,
            student: heard.student,
            instructor_lost: found.raised(Objections::INSTRUCTOR_LOST),
            link: self.signals.link(),
            late_step: found.raised(Objections::STALL),
        }
    }

    /// Latches: what keeps the craft with the instructor until the switch has been off (H2).
    fn latch(&mut self, instructor_now: bool, found: &mut Findings) {
        let Latches { lasted, beyond } = self.policy.policy().latches;
        // A stick slammed past `plausible` is a stick takeover too.
        let slammed = found.raised(Objections::BAD_FRAME) && !self.share.student().is_empty();
        let begins = slammed || self.policy.taken_by(found.newly_held).meets(self.share.student());
        self.latch.step(found.dt, begins, lasted);
        if self.latch.takeover()
            && (found.newly_held.meets(self.policy.keep)
                || beyond.is_some_and(|limit| self.sticks.any_beyond(self.signals.instructor(), limit)))
        {
            self.latch.set();
        }
        if instructor_now {
            found.objections |= Objections::INSTRUCTOR_NOW;
            self.latch.set();
        }
        if self.switch.off() {
            self.latch.clear();
        }
        if self.latch.latched() {
            found.objections |= Objections::LATCH;
        }
    }

    /// Who flies: the student's set shrinks or grows; its growth ends a takeover and sets rests (H1, H2, R2).
    fn share(&mut self, found: &mut Findings) {
        self.share.step(self.policy, self.signals.instructor(), self.signals.student(), found);
        if !found.joining.is_empty() {
            self.latch.clear();
            self.sticks.rest_here(self.policy, self.signals.instructor());
        }
    }

    /// Output: the failsafe frame where nobody flies (I2), else the output of the transfer (T6, H4, H5).
    fn output(&mut self, found: &Findings) {
        if found.raised(Objections::NOBODY) {
            self.transfer.fail_safe(self.policy);
        } else {
            let sides = Sides::new(&self.signals, self.share.student());
            self.transfer.step(self.policy, sides, self.sticks.rests(), found);
        }
    }

    /// Event: one for every change, none before the first good instructor's frame (A1, S1).
    fn announce(&self, at: Instant, before: Share, found: &Findings) -> Option<Event> {
        let changed = !(found.leaving | found.joining).is_empty() || before.nobody_flew() != self.share.nobody_flew();
        if !changed || before.last().is_silent() {
            return None;
        }
        let from = before.pilot();
        Some(Event { at, from, to: self.share.pilot(), cause: found.cause(from) })
    }

    /// The first thing waited for, while the student has less than the shared axes (A2).
    fn waiting(&self, found: &Findings) -> Option<Waiting> {
        let policy = self.policy.policy();
        let missing = policy.shared.except(self.share.student());
        if missing.is_empty() {
            return None;
        }
        Some(if found.raised(Objections::INSTRUCTOR_LOST) {
            Waiting::InstructorSignal
        } else if found.raised(Objections::SWITCH_OFF) {
            Waiting::Switch
        } else if found.raised(Objections::UNARMED) {
            Waiting::SwitchOffFirst
        } else if found.raised(Objections::SETTLING) {
            Waiting::Settling { left: self.switch.settles_in(policy.settle) }
        } else if found.raised(Objections::LATCH) {
            Waiting::Latch
        } else if found.raised(Objections::NO_LINK) {
            Waiting::StudentLink { left: self.signals.qualifies_for(policy.requalify) }
        } else if let Some(axis) = found.held.lowest() {
            Waiting::Held(axis)
        } else if let Some(left) = self.share.dwell_left(policy.dwell) {
            Waiting::Dwell { left }
        } else {
            let closed = closed_gates(self.policy, missing, self.signals.instructor(), self.signals.student());
            // If no gate is closed, only a good instructor's frame without a row of T1 is missing.
            closed.lowest().map_or(Waiting::Dwell { left: Duration::from_ticks(0) }, Waiting::Gate)
        })
    }
}
