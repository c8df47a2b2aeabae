//! The float model of the contract: written for reading, rule by rule, beside `CONTRACT.md` (N3).
//!
//! It shares only the types of its interface with the engine. Deflections are `f64` in units of full travel, times are
//! `f64` in microseconds, sets are a `bool` in each `Axis`. [`Model::step`] follows the contract's order inside a step.
//! Nothing here is meant to be fast or small.
//!
//! Timers do not saturate: an `f64` counts microseconds exactly for 285 years. The contract's saturation gives the same
//! decisions. No duration of a policy is longer than 2^31 us, and a saturated timer holds 2^32 - 1, so both timers are
//! past every duration, and both leave nothing of it.
//!
//! Rules: N3

mod axis;
mod quantity;
mod signal;
mod switch;
mod telling;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::arithmetic_side_effects, reason = "a test may fail")]
mod tests;
mod transfer;
mod wait;

use self::axis::Axis;
use self::quantity::{deflection, micros, travel};
use self::signal::{InstructorSignal, StudentLink, reception};
use self::switch::SettledSwitch;
use crate::engine::{Inputs, Outcome, Pilot, Reception};
use crate::policy::{CheckedPolicy, Policy, Scope};
use crate::quantity::{AxisSet, Frame, Instant};

/// The contract in floats: takes the same steps as the engine, and gives the same outcomes.
///
/// ```
/// use handback::reference::Model;
/// use handback::{Pilot, AxisRule, Deflection, Frame, Inputs, Instant, Policy};
///
/// let policy = Policy::new([AxisRule::sprung(); 2]).check().unwrap();
/// let mut model = Model::new(&policy);
/// let sticks = Frame::new([Deflection::from_points(10), Deflection::CENTRE]);
/// let outcome = model.step(Instant::from_ticks(0), Inputs { instructor: Some(&sticks), ..Inputs::default() });
/// assert_eq!(outcome.pilot, Pilot::Instructor);
/// assert_eq!(outcome.output, sticks);
/// ```
#[derive(Clone, Debug)]
pub struct Model<const N: usize> {
    /// A copy: a reference on the host need not save memory, and a struct can own it.
    policy: Policy<N>,
    /// The instant of the last step; `None` before the first.
    last: Option<Instant>,
    instructor: InstructorSignal,
    student: StudentLink,
    switch: SettledSwitch,
    axes: [Axis; N],
    /// H2: time since the stick takeover began; `None` while none is on.
    takeover: Option<f64>,
    /// H2: whether the latch is on.
    latched: bool,
    /// H1: time for which all conditions for growth have held; `None` while one of them does not hold.
    ready: Option<f64>,
    /// H4: the one timer of all fades.
    fade_lasted: f64,
    /// Whether T4 held in the last step.
    t4_asked: bool,
    /// Who flew after the last step; `None` until the first good frame, so that nothing before it is announced (S1).
    announced: Option<Pilot>,
}

/// Clock and signals in one step.
struct Facts {
    now: Instant,
    /// Time since the step before, in microseconds.
    dt: f64,
    /// K1: whether the step is late.
    late_step: bool,
    instructor: Reception,
    student: Reception,
    /// Whether the instructor's signal was lost at some point of the step.
    instructor_was_lost: bool,
    /// T7: whether *instructor now* is asked for.
    instructor_now: bool,
    /// Whether I2 holds.
    nobody: bool,
}

impl<const N: usize> Model<N> {
    /// A model of the state after construction (S1).
    pub fn new(policy: &CheckedPolicy<N>) -> Self {
        let plain = policy.policy();
        let mut numbers = 0..;
        Self {
            policy: *plain,
            last: None,
            instructor: InstructorSignal::new(),
            student: StudentLink::new(),
            switch: SettledSwitch::new(),
            axes: plain.axes.map(|rule| Axis::new(numbers.next().unwrap_or_default(), &rule, plain)),
            takeover: None,
            latched: false,
            ready: None,
            fade_lasted: 0.0,
            t4_asked: true,
            announced: None,
        }
    }

    /// One step, in the contract's order.
    #[must_use]
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let dt = self.clock(now);
        let facts = self.signals(now, dt, inputs);
        self.sticks(&facts);
        self.switch(&facts, inputs.lesson_switch);
        self.latches(&facts);
        let t4 = self.t4(&facts);
        self.who_flies(&facts, t4);
        self.transfer(&facts, t4);
        self.tell(&facts)
    }

    /// The unrounded line of an axis in the last step, in units of full travel; `None` past the last axis.
    ///
    /// For an axis that fades it is from + (to - from) * elapsed / `fade`, where `from` is the rounded output at which
    /// the fade began. For any other axis it is the output (N3).
    pub fn ideal(&self, axis: u8) -> Option<f64> {
        self.axes.get(usize::from(axis)).map(|axis| axis.ideal)
    }

    /// Time: dt is the time since the step before, 0 in the first step. An instant that runs backwards gives a very
    /// large dt.
    fn clock(&mut self, now: Instant) -> f64 {
        let last = self.last.replace(now).unwrap_or(now);
        f64::from(now.as_ticks().wrapping_sub(last.as_ticks()))
    }

    /// K1, then L and I: both signals, and the last good frames.
    fn signals(&mut self, now: Instant, dt: f64, inputs: Inputs<'_, N>) -> Facts {
        let policy = self.policy;
        let late_step = dt > micros(policy.late_step);
        let instructor = reception(inputs.instructor, policy.plausible, |_| true);
        let student = reception(inputs.student, policy.plausible, |axis| policy.shared.contains(axis));
        self.instructor.step(dt, late_step, instructor == Reception::Good, policy.timeout);
        let differs = inputs.student.is_some_and(|frame| {
            self.axes
                .iter()
                .zip(frame.axes())
                .any(|(axis, x)| axis.shared && axis.student.to_bits() != travel(*x).to_bits())
        });
        self.student.step(dt, late_step, student == Reception::Good, differs, &policy);
        if let (Reception::Good, Some(frame)) = (instructor, inputs.instructor) {
            for (axis, x) in self.axes.iter_mut().zip(frame.axes()) {
                axis.instructor = travel(*x);
            }
        }
        if let (Reception::Good, Some(frame)) = (student, inputs.student) {
            for (axis, x) in self.axes.iter_mut().zip(frame.axes()) {
                axis.student = travel(*x);
            }
        }
        Facts {
            now,
            dt,
            late_step,
            instructor,
            student,
            instructor_was_lost: self.instructor.was_lost,
            instructor_now: inputs.instructor_now,
            nobody: self.instructor.is_past(policy.failsafe_after),
        }
    }

    /// T1, T3, R.
    fn sticks(&mut self, facts: &Facts) {
        let lost = facts.late_step || self.instructor.noticed;
        for axis in &mut self.axes {
            axis.watch(facts.dt, facts.instructor == Reception::Good, lost);
        }
    }

    /// S2, S3.
    fn switch(&mut self, facts: &Facts, on: bool) {
        let policy = self.policy;
        let link_broke = self.student.broke && policy.off_first_after_loss;
        let lost = facts.late_step || self.instructor.noticed || link_broke;
        self.switch.step(facts.dt, on, lost, policy.settle);
    }

    /// H2. Nothing has left or joined the student's set yet: `students` is still that of the step before.
    fn latches(&mut self, facts: &Facts) {
        let policy = self.policy;
        let cleared = self.switch.clears(policy.settle);
        let axes = &self.axes;
        let takes_from_student =
            |taker: &Axis| axes.iter().any(|axis| axis.students && taker.takes(axis, policy.scope));
        let slammed = facts.instructor == Reception::Bad && axes.iter().any(|axis| axis.students);
        let begins = slammed || axes.iter().any(|axis| axis.became_held && takes_from_student(axis));
        self.takeover = match self.takeover {
            _ if cleared => None,
            Some(lasted) => Some(lasted + facts.dt),
            None => begins.then_some(0.0),
        };
        let set_by_takeover = self.takeover.is_some_and(|lasted| {
            let kept = axes.iter().any(|axis| axis.became_held && axis.keep);
            let long = policy.latches.lasted.is_some_and(|limit| lasted >= micros(limit));
            let far = |axis: &Axis| policy.latches.beyond.is_some_and(|limit| axis.is_beyond(travel(limit)));
            kept || long || axes.iter().any(|axis| axis.watched && far(axis))
        });
        let set = set_by_takeover || facts.instructor_now;
        self.latched = !cleared && (set || self.latched);
    }

    /// T4: the student's set is empty in this step.
    fn t4(&self, facts: &Facts) -> bool {
        facts.late_step
            || !self.switch.allows(self.policy.settle)
            || facts.instructor_was_lost
            || self.student.forbids()
            || self.latched
            || facts.instructor == Reception::Bad
            || facts.instructor_now
    }

    /// T4, T5, H1, H3: the student's set.
    fn who_flies(&mut self, facts: &Facts, t4: bool) {
        let Policy { scope, dwell, .. } = self.policy;
        let axes = self.axes; // as they are before anything leaves or joins

        let ready = !t4
            && !axes.iter().any(|axis| axis.held && axis.takes_everything(scope))
            && !axes.iter().any(Axis::changed_hold);
        self.ready = ready.then(|| self.ready.map_or(0.0, |lasted| lasted + facts.dt));
        let may_grow = facts.instructor == Reception::Good
            && !axes.iter().any(Axis::is_on_its_way_to_held)
            && self.ready.is_some_and(|lasted| lasted >= micros(dwell));
        let craft_gated = scope == Scope::Craft && axes.iter().any(Axis::is_gated);

        for axis in &mut self.axes {
            let taken = axes.iter().any(|taker| taker.held && taker.takes(axis, scope));
            let stays = axis.students && !t4 && !taken;
            let joins = may_grow && axis.shared && !axis.held && !axis.is_gated() && !craft_gated;
            axis.was_students = axis.students;
            axis.students = stays || joins;
        }
        if self.axes.iter().any(Axis::joined) {
            self.takeover = None; // H2: on until the set grows
            self.axes.iter_mut().for_each(Axis::rests_here_if_where_left);
        }
    }

    /// The axes for which this is true, as a set of the outcome.
    fn set_of(&self, is_in: impl Fn(&Axis) -> bool) -> AxisSet {
        self.axes.iter().filter(|axis| is_in(axis)).fold(AxisSet::EMPTY, |set, axis| set.with(axis.number))
    }

    /// A frame of one value of each axis.
    fn frame_of(&self, value: impl Fn(&Axis) -> f64) -> Frame<N> {
        Frame::new(self.axes.map(|axis| deflection(value(&axis))))
    }
}
