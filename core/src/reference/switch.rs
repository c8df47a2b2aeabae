//! The lesson switch: settling, and seen off first (S2, S3).

use super::quantity::micros;
use crate::quantity::Duration;

/// What has been seen of the lesson switch.
#[derive(Clone, Copy, Debug)]
pub(super) struct SettledSwitch {
    /// The position in the last step; `None` before the first.
    seen_on: Option<bool>,
    /// Time for which it has been seen in that position, unbroken, whatever was lost meanwhile.
    pub(super) seen_for: f64,
    /// Time for which it has been seen off, unbroken, since the last loss that counts; `None` while it is on.
    off_since_loss: Option<f64>,
    /// S2: whether the switch was seen off first.
    pub(super) off_first: bool,
}

impl SettledSwitch {
    pub(super) const fn new() -> Self {
        Self { seen_on: None, seen_for: 0.0, off_since_loss: None, off_first: false }
    }

    /// `lost`: this step was late, or lost a signal after whose loss the switch must be seen off first (S2).
    pub(super) fn step(&mut self, dt: f64, on: bool, lost: bool, settle: Duration) {
        self.seen_for = if self.seen_on == Some(on) { self.seen_for + dt } else { 0.0 };
        self.seen_on = Some(on);
        if lost {
            self.off_first = false;
            self.off_since_loss = None;
        }
        self.off_since_loss = match self.off_since_loss {
            _ if on => None,
            None => Some(0.0),
            Some(elapsed) => Some(elapsed + dt),
        };
        self.off_first |= self.off_since_loss.is_some_and(|elapsed| elapsed >= micros(settle));
    }

    pub(super) fn is_on(&self) -> bool {
        self.seen_on == Some(true)
    }

    pub(super) fn has_settled(&self, settle: Duration) -> bool {
        self.seen_for >= micros(settle)
    }

    /// S3: off for long enough to clear a latch and to end a stick takeover.
    pub(super) fn clears(&self, settle: Duration) -> bool {
        !self.is_on() && self.has_settled(settle)
    }

    /// What T4 requires of the switch: on, settled and seen off first.
    pub(super) fn allows(&self, settle: Duration) -> bool {
        self.is_on() && self.has_settled(settle) && self.off_first
    }
}
