//! The step: asks the other rooms in the contract's order, and decides who flies.

use crate::checked::CheckedPolicy;
use crate::clock::Instant;
use crate::deflection::Frame;
use crate::outcome::Outcome;

/// What one step is given.
#[derive(Clone, Copy, Debug, Default)]
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

/// The engine.
#[derive(Clone, Debug)]
pub struct Engine<'p, const N: usize> {
    policy: &'p CheckedPolicy<N>,
}

impl<'p, const N: usize> Engine<'p, N> {
    /// New.
    pub const fn new(policy: &'p CheckedPolicy<N>) -> Self {
        Self { policy }
    }

    /// Step.
    pub fn step(&mut self, _now: Instant, _inputs: Inputs<'_, N>) -> Outcome<N> {
        let _ = self.policy;
        todo!()
    }
}
