//! The step: calls the other modules in the order of the contract.
//!
//! Rules: S1, T2, K1, N1, N2, N4

mod findings;
mod latch;
mod outcome;
mod share;
mod signal;
#[cfg(feature = "states")]
mod states;
mod stick;
mod switch;
mod telling;
mod timer;
mod transfer;
mod weight;

pub use outcome::{Cause, Event, Link, Outcome, Pilot, Reception, Waiting};

use core::borrow::Borrow;

use self::findings::{Findings, Heard, Objections};
use self::latch::{Latch, Look};
use self::share::{LastStep, Share, taken_by};
use self::signal::Signals;
use self::stick::Sticks;
use self::switch::SettledSwitch;
use self::transfer::{Sides, Transfer};
use crate::policy::CheckedPolicy;
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

/// The takeover engine: a checked policy, which no step can change, and the state of one lesson.
///
/// `P` lends the policy: a reference to it ([`new`](Engine::new)), or the policy itself ([`owning`](Engine::owning)).
///
/// ```
/// use handback::{AxisRule, CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Pilot, Policy};
/// static POLICY: CheckedPolicy<2> = handback::checked!(Policy::new([AxisRule::sprung(); 2]));
/// let mut engine = Engine::new(&POLICY);
/// let sticks = Frame::new([Deflection::from_points(7), Deflection::CENTRE]);
/// let outcome = engine.step(Instant::from_ticks(0), Inputs { instructor: Some(&sticks), ..Inputs::default() });
/// assert_eq!((outcome.pilot, outcome.output), (Pilot::Instructor, sticks));
/// ```
///
/// A struct that owns its engine names the type `Engine<4>` where the policy is in a `static`, and
/// `Engine<4, CheckedPolicy<4>>` where the engine has a policy of its own, for example one from run time:
///
/// ```
/// use handback::{AxisRule, CheckedPolicy, Engine, Policy, PolicyError};
/// struct TrainerBox {
///     engine: Engine<4, CheckedPolicy<4>>,
/// }
/// let policy = Policy::new([AxisRule::sprung(); 4]).check()?;
/// let trainer_box = TrainerBox { engine: Engine::owning(policy) };
/// assert_eq!(trainer_box.engine.policy().policy().axes.len(), 4);
/// # Ok::<(), PolicyError>(())
/// ```
#[derive(Clone, Debug)]
#[repr(C)] // the fields that every step reads come first, within the short offsets of a small processor
pub struct Engine<const N: usize, P = &'static CheckedPolicy<N>> {
    policy: P,
    state: State<N>,
}

/// The state of one lesson.
#[derive(Clone, Debug)]
#[repr(C)]
struct State<const N: usize> {
    /// The instant of the last step.
    last: Instant,
    share: Share,
    latch: Latch,
    switch: SettledSwitch,
    signals: Signals<N>,
    sticks: Sticks<N>,
    transfer: Transfer<N>,
}

impl<'p, const N: usize> Engine<N, &'p CheckedPolicy<N>> {
    /// An engine at the start of a lesson (S1), with a policy that it borrows; in `const` too.
    pub const fn new(policy: &'p CheckedPolicy<N>) -> Self {
        Self { policy, state: State::new(policy) }
    }
}

impl<const N: usize> Engine<N, CheckedPolicy<N>> {
    /// An engine at the start of a lesson (S1), with a policy of its own; in `const` too.
    pub const fn owning(policy: CheckedPolicy<N>) -> Self {
        let state = State::new(&policy);
        Self { policy, state }
    }
}

impl<const N: usize, P: Borrow<CheckedPolicy<N>>> Engine<N, P> {
    /// The policy.
    pub fn policy(&self) -> &CheckedPolicy<N> {
        self.policy.borrow()
    }

    /// One step of the lesson: call it for every frame, or more often.
    ///
    /// `now` may wrap: only its difference from the last step counts. A difference above `late_step` is a late step
    /// (K1). Never fails: every input has an outcome.
    #[must_use = "the output is what the craft must be sent"]
    #[inline(never)] // so that the outcome is written once, into the caller's memory
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        self.state.step(self.policy.borrow(), now, inputs)
    }
}

impl<const N: usize> State<N> {
    const fn new(policy: &CheckedPolicy<N>) -> Self {
        Self {
            last: Instant::from_ticks(0),
            share: Share::new(),
            latch: Latch::new(),
            switch: SettledSwitch::new(policy),
            signals: Signals::new(policy),
            sticks: Sticks::new(policy),
            transfer: Transfer::new(),
        }
    }

    /// The order of a step: clock, signals, sticks, switch, latches, who flies, output, event.
    fn step(&mut self, policy: &CheckedPolicy<N>, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let mut heard = self.clock(policy, now);
        self.signals.hear_instructor(policy, inputs.instructor, &mut heard);
        self.signals.hear_student(policy, inputs.student, &mut heard);
        if !self.goes_on(policy, heard, &inputs) {
            return self.decide(policy, now, &inputs, heard);
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

    /// Any step that cannot take the short path, from the sticks on.
    #[inline(never)]
    fn decide(&mut self, policy: &CheckedPolicy<N>, now: Instant, inputs: &Inputs<'_, N>, heard: Heard) -> Outcome<N> {
        let found = &mut Findings::new(heard);
        let before = self.share;
        let (instructor, student) = (self.signals.instructor(), self.signals.student());

        self.sticks.step(policy, now, instructor, found);
        found.taken = taken_by(policy, found.held);
        found.newly_taken = taken_by(policy, found.newly_held);

        self.switch.step(policy, inputs.lesson_switch, found);

        let look = Look {
            sticks: &self.sticks,
            instructor,
            student: before.student(),
            instructor_now: inputs.instructor_now,
            switch_off: self.switch.off(),
        };
        self.latch.step(policy, look, found);

        self.share.step(policy, instructor, student, found);
        if !found.joining.is_empty() {
            self.latch.clear();
            self.sticks.rest_here(policy, instructor);
        }

        if found.raised(Objections::NOBODY) {
            self.transfer.fail_safe(policy);
        } else {
            let sides = Sides::new(&self.signals, self.share.student());
            self.transfer.step(policy, now, sides, self.sticks.rests(), found);
        }

        let event = self.announce(now, before, found);
        let waiting = self.waiting(policy, found);
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
            late_step: found.raised(Objections::LATE_STEP),
        }
    }

    /// The time since the step before, and whether it was too long (K1).
    #[inline]
    fn clock(&mut self, policy: &CheckedPolicy<N>, now: Instant) -> Heard {
        let last = if self.share.last() == LastStep::None { now } else { self.last };
        self.last = now;
        let dt = Duration::from_ticks(now.as_ticks().wrapping_sub(last.as_ticks()));
        let mut heard = Heard::nothing(dt);
        if dt.as_ticks() > policy.policy().late_step.as_ticks() {
            heard.objections = Objections::LATE_STEP;
            self.signals.lose();
        }
        heard
    }

    /// Whether the step can take the short path, as most steps of a lesson do: the student flies, no objection was
    /// found, the switch is on, and every stick is within `engage` of its rest. The rules then have nothing to decide.
    #[inline]
    fn goes_on(&self, policy: &CheckedPolicy<N>, heard: Heard, inputs: &Inputs<'_, N>) -> bool {
        inputs.lesson_switch
            && !inputs.instructor_now
            && self.share.last() == LastStep::Quiet
            && !heard.objections.any()
            && self.sticks.at_rest(policy, self.signals.instructor())
    }
}
