//! What keeps the craft with the instructor after a takeover, until the lesson switch has been off (H2).

use crate::clock::{Duration, Elapsed};

/// The stick takeover and the latch.
#[derive(Clone, Debug)]
pub(crate) struct Latch {
    /// How long the stick takeover has been on, if one is.
    takeover: Option<Elapsed>,
    latched: bool,
}

/// What can set the latch in a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Claim {
    /// An axis that became held, or a bad frame, took something from the student.
    pub(crate) took: bool,
    /// An axis whose takeover keeps the craft became held.
    pub(crate) kept: bool,
    /// The policy's `lasted`.
    pub(crate) lasted: Option<Duration>,
    /// A watched stick is beyond the policy's `beyond`.
    pub(crate) beyond: bool,
    /// Instructor now (T7).
    pub(crate) now: bool,
    /// The lesson switch has been off for `settle`.
    pub(crate) cleared: bool,
}

impl Latch {
    pub(crate) const fn new() -> Self {
        Self { takeover: None, latched: false }
    }

    /// Whether the latch is on in this step.
    pub(crate) fn step(&mut self, dt: Duration, claim: Claim) -> bool {
        match &mut self.takeover {
            Some(on_for) => on_for.advance(dt),
            None if claim.took => self.takeover = Some(Elapsed::ZERO),
            None => {}
        }
        let set = claim.now
            || self.takeover.is_some_and(|on_for| {
                claim.kept || claim.beyond || claim.lasted.is_some_and(|lasted| on_for.reached(lasted))
            });
        self.latched = !claim.cleared && (set || self.latched);
        if claim.cleared {
            self.takeover = None;
        }
        self.latched
    }

    /// The student's set grew, which ends the takeover.
    pub(crate) fn end_takeover(&mut self) {
        self.takeover = None;
    }
}
