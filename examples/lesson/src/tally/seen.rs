//! One step as the counters see it.

use handback::{AxisSet, Outcome, Pilot};

use crate::row::{Row, Truth};

/// One step: what it was given, what came of it, and who flew before.
pub(crate) struct Seen<'a, const N: usize> {
    pub(crate) row: &'a Row<N>,
    pub(crate) outcome: &'a Outcome<N>,
    pub(crate) truth: Option<&'a Truth>,
    /// Who flew until this step; in the first step whoever flies in it.
    pub(crate) before: Pilot,
    /// No good instructor's frame came before this step, so nothing in it is announced (S1).
    pub(crate) starting: bool,
}

impl<const N: usize> Seen<'_, N> {
    pub(crate) fn time_us(&self) -> u64 {
        self.row.time_us
    }

    pub(crate) fn after(&self) -> Pilot {
        self.outcome.pilot
    }

    /// Whether this step changed who flies what.
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
