//! One step as input of the counters.

use handback::{AxisSet, Outcome, Pilot};

use crate::row::{Row, Truth};

/// One step: its input, its outcome, and the pilot before it.
pub(crate) struct Seen<'a, const N: usize> {
    pub(crate) row: &'a Row<N>,
    pub(crate) outcome: &'a Outcome<N>,
    pub(crate) truth: Option<&'a Truth>,
    /// The pilot until this step; in the first step, the pilot of that step.
    pub(crate) before: Pilot,
    /// Whether no good instructor's frame came before this step, so that nothing in it is announced (S1).
    pub(crate) starting: bool,
}

impl<const N: usize> Seen<'_, N> {
    pub(crate) fn time_us(&self) -> u64 {
        self.row.time_us
    }

    pub(crate) fn after(&self) -> Pilot {
        self.outcome.pilot
    }

    /// Whether this step changed the pilot.
    pub(crate) fn changed(&self) -> bool {
        self.before != self.after()
    }

    /// The axes that the student lost in this step.
    pub(crate) fn lost(&self) -> AxisSet {
        self.before.student().except(self.after().student())
    }

    /// The axes that the student gained in this step.
    pub(crate) fn gained(&self) -> AxisSet {
        self.after().student().except(self.before.student())
    }
}
