//! What keeps the craft with the instructor after a takeover, until the lesson switch has been off (H2).

use crate::clock::{Duration, Left};

/// A stick takeover and its latch (H2), as a timer: how long the takeover must still last to latch. Not begun: no
/// takeover is on. Over: latched. The latch outlasts the takeover.
#[derive(Clone, Debug)]
pub(crate) struct Latch(Left);

/// A takeover that does not latch however long it lasts; longer than any duration of a policy.
const ANY_TIME: Duration = Duration::from_ticks(u32::MAX - 1);

impl Latch {
    pub(crate) const fn new() -> Self {
        Self(Left::NOT_BEGUN)
    }

    /// Whether a stick takeover is on that has not latched.
    pub(crate) const fn takeover(&self) -> bool {
        self.0.has_begun() && !self.0.is_over()
    }

    pub(crate) const fn latched(&self) -> bool {
        self.0.is_over()
    }

    /// A takeover begins, or the one that is on goes on; `lasted` is what makes it latch.
    pub(crate) fn step(&mut self, dt: Duration, begins: bool, lasted: Option<Duration>) {
        if self.0.has_begun() {
            if lasted.is_some() {
                self.0.pass(dt);
            }
        } else if begins {
            self.0 = Left::all_of(lasted.unwrap_or(ANY_TIME));
        }
    }

    /// Sets the latch.
    pub(crate) fn set(&mut self) {
        self.0 = Left::OVER;
    }

    /// No takeover is on: the student's set grew, or the lesson switch has been off.
    pub(crate) fn clear(&mut self) {
        self.0 = Left::NOT_BEGUN;
    }
}
