//! The lesson switch: settling, and seen off first (S2, S3).

use super::findings::{Findings, Objections};
use super::timer::Left;
use crate::policy::CheckedPolicy;
use crate::quantity::Duration;

/// The lesson switch as seen so far.
#[derive(Clone, Debug)]
pub(crate) struct SettledSwitch {
    /// Time for which the switch must still be seen in its present position.
    settles: Left,
    /// Time for which the switch must still be seen off, to be seen off first (S2). Not begun while it is seen on
    /// without having been seen off first; over once it was seen off first.
    arms: Left,
    seen_on: bool,
}

impl SettledSwitch {
    pub(crate) const fn new<const N: usize>(policy: &CheckedPolicy<N>) -> Self {
        Self { settles: Left::all_of(policy.policy().settle), arms: Left::NOT_BEGUN, seen_on: false }
    }

    /// Reads the switch. The losses that the signals found in this step are in `found`.
    pub(crate) fn step<const N: usize>(&mut self, policy: &CheckedPolicy<N>, seen_on: bool, found: &mut Findings) {
        let settle = Left::all_of(policy.policy().settle);
        if found.disturbed() || (found.raised(Objections::LINK_JUST_LOST) && policy.policy().off_first_after_loss) {
            self.arms = Left::NOT_BEGUN;
        }
        self.settles.pass(found.dt);
        if seen_on != self.seen_on {
            self.seen_on = seen_on;
            self.settles = settle;
        }

        if seen_on {
            if !self.arms.is_over() {
                self.arms = Left::NOT_BEGUN;
                found.objections |= Objections::UNARMED;
            } else if !self.settles.is_over() {
                found.objections |= Objections::SETTLING;
            }
        } else {
            found.objections |= Objections::SWITCH_OFF;
            if self.arms.has_begun() {
                // Once over, it stays over until the next loss.
                self.arms.pass(found.dt);
            } else {
                self.arms = settle;
            }
        }
    }

    /// Whether the switch has been seen off for `settle`, which clears a latch and ends a stick takeover (S3, H2).
    pub(crate) const fn off(&self) -> bool {
        !self.seen_on && self.settles.is_over()
    }

    /// Time for which the switch must still be seen in its present position.
    pub(crate) const fn settles_in(&self, settle: Duration) -> Duration {
        self.settles.of(settle)
    }
}
