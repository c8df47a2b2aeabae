//! Facts of one step that several actions use: its length, the lesson switch, whether the craft stays with the
//! instructor, and whose signal is lost. Takeovers and latches are the engine's; only its outcome is read.

use super::spot::Side;
use crate::engine::{Inputs, Link, Outcome, Waiting};
use crate::policy::CheckedPolicy;
use crate::quantity::Instant;

/// What is kept from step to step.
#[derive(Clone, Debug)]
pub(super) struct History {
    last: Option<Instant>,
    /// How long the lesson switch has been seen off, in microseconds; `None` while it is seen on.
    off: Option<u32>,
    kept: bool,
}

/// The facts of one step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facts {
    /// The time since the step before, in microseconds.
    pub(super) dt: u32,
    /// Whether the lesson switch has been seen off for `settle`.
    pub(super) off: bool,
    /// Whether the craft stays with the instructor until the lesson switch has been off (S2, H2).
    pub(super) kept: bool,
    /// Whether a good student's frame came that differs from the one before it.
    pub(super) changed: bool,
}

impl History {
    pub(super) const fn new() -> Self {
        Self { last: None, off: None, kept: false }
    }

    pub(super) fn step<const N: usize>(
        &mut self,
        policy: &CheckedPolicy<N>,
        inputs: &Inputs<'_, N>,
        outcome: &Outcome<N>,
    ) -> Facts {
        let dt = self.last.map_or(0, |last| outcome.at.as_ticks().wrapping_sub(last.as_ticks()));
        self.last = Some(outcome.at);
        let off = self.off.map_or(0, |off| off.saturating_add(dt));
        self.off = (!inputs.lesson_switch).then_some(off);
        let off = self.off.is_some_and(|off| off >= policy.policy().settle.as_ticks());
        self.kept = !off && (outcome.late_step || is_kept(outcome.waiting).unwrap_or(self.kept));
        Facts { dt, off, kept: self.kept, changed: false }
    }
}

/// Whether the craft is kept; `None` where the engine names something that it waits for before a latch (A2).
const fn is_kept(waiting: Option<Waiting>) -> Option<bool> {
    match waiting {
        // After its loss the switch must be seen off first.
        Some(Waiting::InstructorSignal | Waiting::SwitchOffFirst | Waiting::Latch) => Some(true),
        Some(Waiting::Switch | Waiting::Settling { .. }) => None,
        _ => Some(false),
    }
}

/// The side whose signal is lost, the instructor's first.
pub(super) fn lost<const N: usize>(outcome: &Outcome<N>) -> Option<Side> {
    if outcome.instructor_lost {
        Some(Side::Instructor)
    } else if outcome.link == Link::Lost {
        Some(Side::Student)
    } else {
        None
    }
}
