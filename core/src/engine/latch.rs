//! What keeps the craft with the instructor after a takeover, until the lesson switch has been off (H2).

use super::timer::Left;
use crate::quantity::Duration;

/// A stick takeover and its latch (H2), as a timer: the time until the takeover latches. Not begun: no takeover is on
/// and nothing is latched. Over: latched. The latch outlasts the takeover.
#[derive(Clone, Debug)]
pub(crate) struct Latch(Left);

/// The time of a takeover that does not latch by its duration; longer than any duration of a policy.
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

    /// Begins a takeover, or continues the one that is on. `lasted` is the duration after which it latches.
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

    /// Ends the takeover and its latch: the student's set grew, or the lesson switch has been off.
    pub(crate) fn clear(&mut self) {
        self.0 = Left::NOT_BEGUN;
    }
}
