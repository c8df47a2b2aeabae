//! The lesson switch: settling and arming (S2, S3).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Elapsed};
use crate::signal::Heard;

/// The lesson switch as seen so far.
#[derive(Clone, Debug)]
pub(crate) struct LessonSwitch {
    seen_on: bool,
    /// How long it has been seen in this position, unbroken.
    level_for: Elapsed,
    /// How long nothing was lost that asks for arming anew.
    calm_for: Elapsed,
    /// Seen off, for long enough, since the last such loss.
    armed: bool,
}

/// What the lesson switch says in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lesson {
    /// Seen off, not for `settle` yet.
    JustOff,
    /// Off for `settle`: latches are cleared.
    Off,
    /// Seen on, but not armed.
    Unarmed,
    /// Armed and seen on, but not for `settle`.
    Settling {
        /// The time that takes.
        left: Duration,
    },
    /// On: the student may fly.
    On,
}

impl LessonSwitch {
    pub(crate) const fn new() -> Self {
        Self { seen_on: false, level_for: Elapsed::ZERO, calm_for: Elapsed::ZERO, armed: false }
    }

    pub(crate) fn step<const N: usize>(
        &mut self,
        policy: &CheckedPolicy<N>,
        dt: Duration,
        heard: Heard,
        seen_on: bool,
    ) -> Lesson {
        let settle = policy.policy().settle;
        self.level_for.advance(dt);
        if seen_on != self.seen_on {
            self.seen_on = seen_on;
            self.level_for = Elapsed::ZERO;
        }
        self.calm_for.advance(dt);
        if heard.disturbed() || (heard.link_just_lost && policy.policy().rearm_after_loss) {
            self.armed = false;
            self.calm_for = Elapsed::ZERO;
        }
        let settled = self.level_for.reached(settle);
        if !seen_on && settled && self.calm_for.reached(settle) {
            self.armed = true;
        }
        match (seen_on, settled) {
            (false, false) => Lesson::JustOff,
            (false, true) => Lesson::Off,
            (true, _) if !self.armed => Lesson::Unarmed,
            (true, false) => Lesson::Settling { left: self.level_for.left_of(settle) },
            (true, true) => Lesson::On,
        }
    }
}
