//! The lesson switch: settling, and seen off first (S2, S3).
//!
//! Rules: S2, S3

use super::findings::{Findings, Objections};
use super::timer::Left;
use crate::policy::CheckedPolicy;
use crate::quantity::Duration;

/// The lesson switch as seen so far.
#[derive(Clone, Debug, Hash)]
pub(super) struct SettledSwitch {
    /// Time for which the switch must still be seen in its present position.
    settles: Left,
    /// Time for which the switch must still be seen off, to be seen off first (S2). Not begun while it is seen on
    /// without having been seen off first; over once it was seen off first.
    off_first: Left,
    seen_on: bool,
}

impl SettledSwitch {
    pub(super) const fn new<const N: usize>(policy: &CheckedPolicy<N>) -> Self {
        Self { settles: Left::all_of(policy.policy().settle), off_first: Left::NOT_BEGUN, seen_on: false }
    }

    /// Reads the switch. The losses that the signals found in this step are in `found`.
    pub(super) fn step<const N: usize>(&mut self, policy: &CheckedPolicy<N>, seen_on: bool, found: &mut Findings) {
        let settle = Left::all_of(policy.policy().settle);
        if found.disturbed() || (found.raised(Objections::LINK_JUST_LOST) && policy.policy().off_first_after_loss) {
            self.off_first = Left::NOT_BEGUN;
        }
        self.settles.pass(found.dt);
        if seen_on != self.seen_on {
            self.seen_on = seen_on;
            self.settles = settle;
        }

        if seen_on {
            if !self.off_first.is_over() {
                self.off_first = Left::NOT_BEGUN;
                found.objections |= Objections::NOT_OFF_FIRST;
            } else if !self.settles.is_over() {
                found.objections |= Objections::SETTLING;
            }
        } else {
            found.objections |= Objections::SWITCH_OFF;
            if self.off_first.has_begun() {
                // Once over, it stays over until the next loss.
                self.off_first.pass(found.dt);
            } else {
                self.off_first = settle;
            }
        }
    }

    /// Whether the switch has been seen off for `settle`, which clears a latch and ends a stick takeover (S3, H2).
    pub(super) const fn off(&self) -> bool {
        !self.seen_on && self.settles.is_over()
    }

    /// Time for which the switch must still be seen in its present position.
    pub(super) const fn settles_in(&self, settle: Duration) -> Duration {
        self.settles.of(settle)
    }
}
