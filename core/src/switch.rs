//! The lesson switch: settling, and seen off first (S2, S3).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Left};
use crate::findings::{Findings, Objections};

/// The lesson switch as seen so far.
#[derive(Clone, Debug)]
pub(crate) struct SettledSwitch {
    /// How long it must still be seen in this position.
    settles: Left,
    /// How long it must still be seen off to be seen off first (S2): not begun while it is seen on, over once it is seen off first.
    arms: Left,
    seen_on: bool,
}

impl SettledSwitch {
    pub(crate) const fn new<const N: usize>(policy: &CheckedPolicy<N>) -> Self {
        Self { settles: Left::all_of(policy.policy().settle), arms: Left::NOT_BEGUN, seen_on: false }
    }

    /// Sees the switch, after what the signals may have lost.
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
                // Once over it stays so until the next loss.
                self.arms.pass(found.dt);
            } else {
                self.arms = settle;
            }
        }
    }

    /// Seen off for `settle`, which clears a latch (H2) and ends a stick takeover.
    pub(crate) const fn off(&self) -> bool {
        !self.seen_on && self.settles.is_over()
    }

    /// How long the switch must still be seen as it is.
    pub(crate) const fn settles_in(&self, settle: Duration) -> Duration {
        self.settles.of(settle)
    }
}
