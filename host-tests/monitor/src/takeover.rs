//! What keeps the craft with the instructor after a takeover: the latch (H2, T7).

use handback::{AxisSet, Duration, Policy};

use crate::Step;
use crate::normal::Rebase;
use crate::signals::Heard;
use crate::sticks::Sticks;
use crate::switch::Position;

#[derive(Clone, Debug, Default, Hash)]
pub(crate) struct Takeover {
    /// Since when a stick takeover has been on.
    since: Option<u64>,
    latched: bool,
}

impl Takeover {
    pub(crate) fn normalise<const N: usize>(&mut self, policy: &Policy<N>, rebase: Rebase) {
        rebase.grants(&mut self.since, policy.latches.lasted.unwrap_or(Duration::from_ticks(0)));
    }

    /// Whether the latch is on in this step.
    pub(crate) fn step<const N: usize>(
        &mut self,
        step: &Step<'_, N>,
        switch: Position,
        heard: Heard,
        became_held: AxisSet,
        sticks: &Sticks<N>,
    ) -> bool {
        if switch.clears() {
            *self = Self::default();
            return false;
        }
        // A stick that is slammed out of range takes the craft, too.
        let slammed = heard.bad && !step.had.is_empty();
        if slammed || step.taken_by(became_held).meets(step.had) {
            self.since.get_or_insert(step.now);
        }
        let latches = step.policy.latches;
        let is_kept = |axis: u8| step.policy.axes.get(usize::from(axis)).is_some_and(|rule| rule.keep);
        let sets = || {
            became_held.iter().any(is_kept)
                || latches.lasted.is_some_and(|d| step.lasted(self.since, d))
                || latches.beyond.is_some_and(|limit| sticks.any_beyond(step, limit))
        };
        self.latched |= step.inputs.instructor_now || (self.since.is_some() && sets());
        self.latched
    }

    /// The student's set grew.
    pub(crate) fn ends(&mut self) {
        *self = Self::default();
    }
}
