//! What people are told: the event of a change and its cause (A1), and the first thing waited for (A2).
//!
//! Rules: A1, A2

use super::State;
use super::findings::{Findings, Objections};
use super::outcome::{Cause, Event, Pilot, Waiting};
use super::share::Share;
use crate::policy::CheckedPolicy;
use crate::quantity::{Duration, Instant};

impl<const N: usize> State<N> {
    /// The event: one for every change, none before the first good instructor's frame (A1, S1).
    pub(super) fn announce(&self, at: Instant, before: Share, found: &Findings) -> Option<Event> {
        let changed = !(found.leaving | found.joining).is_empty() || before.nobody_flew() != self.share.nobody_flew();
        if !changed || before.last().is_silent() {
            return None;
        }
        let from = before.pilot();
        Some(Event { at, from, to: self.share.pilot(), cause: cause(from, found) })
    }

    /// The first thing waited for, while the student has less than the shared axes (A2).
    pub(super) fn waiting(&self, policy: &CheckedPolicy<N>, found: &Findings) -> Option<Waiting> {
        let policy = policy.policy();
        if self.share.student() == policy.shared {
            return None;
        }
        Some(if found.raised(Objections::INSTRUCTOR_LOST) {
            Waiting::InstructorSignal
        } else if found.raised(Objections::SWITCH_OFF) {
            Waiting::Switch
        } else if found.raised(Objections::NOT_OFF_FIRST) {
            Waiting::SwitchOffFirst
        } else if found.raised(Objections::SETTLING) {
            Waiting::Settling { left: self.switch.settles_in(policy.settle) }
        } else if found.raised(Objections::LATCH) {
            Waiting::Latch
        } else if found.raised(Objections::NO_LINK) {
            Waiting::StudentLink { left: self.signals.qualifies_for(policy.requalify) }
        } else if let Some(axis) = found.held.lowest() {
            Waiting::Held(axis)
        } else if let Some(left) = self.share.dwell_left(policy.dwell) {
            Waiting::Dwell { left }
        } else {
            // If no gate is closed, only a good instructor's frame without a row of T1 is missing.
            found.closed.lowest().map_or(Waiting::Dwell { left: Duration::from_ticks(0) }, Waiting::Gate)
        })
    }
}

/// Why the pilot changed from `before`: the first cause that applies (A1).
fn cause(before: Pilot, found: &Findings) -> Cause {
    if found.raised(Objections::LATE_STEP) {
        Cause::LateStep
    } else if found.raised(Objections::INSTRUCTOR_JUST_LOST | Objections::INSTRUCTOR_LOST) {
        Cause::InstructorLost
    } else if before == Pilot::Nobody {
        Cause::InstructorBack
    } else if found.raised(Objections::INSTRUCTOR_NOW) {
        Cause::InstructorNow
    } else if found.raised(Objections::BAD_FRAME) {
        Cause::BadFrame
    } else if found.raised(Objections::SWITCH_OFF) {
        Cause::SwitchOff
    } else if found.raised(Objections::LINK_FROZEN) {
        Cause::LinkFrozen
    } else if found.raised(Objections::NO_LINK) {
        Cause::LinkLost
    } else if let Some(axis) = found.newly_held.lowest() {
        Cause::Stick(axis)
    } else if found.raised(Objections::LATCH) {
        Cause::Latch
    } else {
        Cause::HandedBack
    }
}
