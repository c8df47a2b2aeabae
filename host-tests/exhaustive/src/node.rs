//! A state: the engine that is shipped, and the monitor that judges it.

use std::hash::Hash;

use handback::{AxisSet, CheckedPolicy, Engine, Frame, Inputs, Instant, Outcome, Reception};
use handback_monitor::{Broken, Monitor};

use crate::fingerprint::Fingerprint;

/// What one step is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Input<const N: usize> {
    /// Microseconds since the step before.
    pub dt: u32,
    /// The instructor's frame, if one comes.
    pub instructor: Option<Frame<N>>,
    /// The student's frame, if one comes.
    pub student: Option<Frame<N>>,
    /// Whether the lesson switch is seen on.
    pub switch: bool,
    /// Whether *instructor now* is asked for.
    pub now: bool,
}

/// Engine and monitor after the same steps, both in normal form: the last step was at instant 0.
#[derive(Clone, Debug)]
pub struct Node<'p, const N: usize> {
    engine: Engine<N, &'p CheckedPolicy<N>>,
    monitor: Monitor<N>,
    /// The instructor's sticks in the last step, the student's last good frame, and the held axes.
    sticks: Frame<N>,
    students: Frame<N>,
    held: AxisSet,
    is_new: bool,
}

impl<'p, const N: usize> Node<'p, N> {
    /// Before the first step.
    pub fn new(policy: &'p CheckedPolicy<N>) -> Self {
        let sticks = policy.failsafe_frame();
        let (engine, monitor) = (Engine::new(policy), Monitor::new(policy));
        Self { engine, monitor, sticks, students: Frame::CENTRE, held: AxisSet::EMPTY, is_new: true }
    }

    /// One step: its outcome, and what the monitor says of it.
    pub fn step(&mut self, input: &Input<N>) -> (Outcome<N>, Result<(), Broken>) {
        let now = Instant::from_ticks(input.dt);
        let inputs = Inputs {
            instructor: input.instructor.as_ref(),
            student: input.student.as_ref(),
            lesson_switch: input.switch,
            instructor_now: input.now,
        };
        let outcome = self.engine.step(now, inputs);
        let verdict = self.monitor.step(now, &inputs, &outcome);
        (self.sticks, self.held, self.is_new) = (outcome.stick, outcome.held, false);
        if let (Reception::Good, Some(frame)) = (outcome.student, input.student) {
            self.students = frame;
        }
        self.engine.normalise();
        self.monitor.normalise();
        (outcome, verdict)
    }

    /// The instructor's sticks with every hand off: a held stick stays where it is, a free one is at its rest.
    pub fn hands_off(&self) -> Frame<N> {
        let mut frame = self.sticks;
        for (axis, x) in (0..).zip(frame.axes_mut()) {
            if let Some(rest) = self.monitor.rest(axis).filter(|_| !self.held.contains(axis) || self.is_fixed(axis)) {
                *x = rest;
            }
        }
        frame
    }

    /// The instructor's sticks in the last step.
    pub const fn sticks(&self) -> Frame<N> {
        self.sticks
    }

    /// The student's last good frame.
    pub const fn students(&self) -> Frame<N> {
        self.students
    }

    /// Whether there was no step yet.
    pub const fn is_new(&self) -> bool {
        self.is_new
    }

    fn is_fixed(&self, axis: u8) -> bool {
        let rule = self.engine.policy().policy().axes.get(usize::from(axis));
        rule.is_some_and(|rule| matches!(rule.rest, handback::Rest::At(_)))
    }

    /// A number that tells this state from every other: the state of engine and monitor in 128 bits.
    pub fn fingerprint(&self) -> u128 {
        let mut hasher = Fingerprint::default();
        self.engine.hash_state(&mut hasher);
        self.monitor.hash(&mut hasher);
        hasher.all()
    }
}
