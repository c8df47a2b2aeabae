//! What a finding says: where, what was seen against what was expected, and the mend.

use core::fmt;

use super::finding::Finding;
use crate::engine::{Cause, Waiting};
use crate::message::Message;
use crate::quantity::Duration;

/// The same for every fault of what the box flies.
const OTHER_POLICY: &str = ": give box and check the same policy";

impl Finding {
    /// Where, what was seen against what was expected, and the mend, in words.
    ///
    /// ```
    /// use handback::preflight::{Finding, Side};
    /// assert_eq!(
    ///     Finding::Reversed { side: Side::Student, axis: 1 }.to_string(),
    ///     "student: axis 1 goes the other way than is asked for: reverse its channel"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let start = match self.side() {
            Some(side) => side.start(),
            None => Message::new(),
        };
        let start = match self.axis() {
            Some(axis) if !matches!(self, Self::NotSeen { .. }) => start.text("axis ").number(axis as u32).text(" "),
            _ => start,
        };
        match *self {
            Self::DoesNotMove { .. } => {
                start.text("does not move where it is asked for: see which channel it has, and that it is read")
            }
            Self::Swapped { with, .. } => {
                let moves = start.text("moves axis ").number(with as u32).text(" instead of its own");
                moves.text(": give each its own channel")
            }
            Self::Reversed { .. } => start.text("goes the other way than is asked for: reverse its channel"),
            Self::CentreOff { by, .. } => {
                start.text("rests ").points(by).text(" from where the policy has its rest: set trim or centre")
            }
            Self::ThrowShort { end, seen, expected, .. } => {
                let goes = start.text("goes ").points(seen).text(" to its ").text(end.name()).text(" end, not ");
                goes.points(expected).text(": set its ends or rate")
            }
            Self::ThrottleUp { by, .. } => {
                let up = start.text("is ").points(by).text(" from its safe place: bring it there; ");
                up.text("if it is, see direction, order and ends of its channel")
            }
            Self::TookOverAt { seen, frames, engage, confirm, .. } => {
                let took = start.text("took over at ").points(seen).text(" in ").number(frames as u32);
                let took = took.text(" frames, not beyond ").points(engage).text(" in ").number(confirm as u32);
                took.text(OTHER_POLICY)
            }
            Self::NotAtThreshold { seen, engage, confirm, .. } => {
                let not = start.text("did not take over at ").points(seen).text(", beyond ").points(engage);
                not.text(" for ").number(confirm as u32).text(" frames").text(OTHER_POLICY)
            }
            Self::LetGoAt { seen, release, .. } => {
                let early = seen.to_bits() > release.to_bits();
                let let_go = start.text(if early { "let go at " } else { "was still held at " }).points(seen);
                let_go.text(", its release is ").points(release).text(OTHER_POLICY)
            }
            Self::LetGoAfter { seen, still, .. } => {
                let early = seen.as_ticks() < still.as_ticks();
                let let_go = start.text(if early { "let go after " } else { "was still held after " });
                let_go.millis(seen).text(" of rest, its still is ").millis(still).text(OTHER_POLICY)
            }
            Self::NotTaken { by } => caused(start.text("the student kept the craft after "), by).text(OTHER_POLICY),
            Self::NotKept { by } => {
                let got = start.text("the student got the craft without lesson switch off and on, after ");
                caused(got, by).text(OTHER_POLICY)
            }
            Self::NotHandedOver { waiting } => {
                let waits = start.text("the student did not get the craft; what is missing: ");
                missing(waits, waiting).text(": see to that, or give box and check the same policy")
            }
            Self::HandedTooSoon { seen, dwell } => {
                let got = start.text("the student got the craft ").millis(seen).text(" after all was in order, not ");
                got.millis(dwell).text(OTHER_POLICY)
            }
            Self::NotSeen { step } => Message::new()
                .text("not seen: ")
                .text(step.message().as_str())
                .text(": do it when asked; if it was done, see to its wire or channel"),
            Self::SignalLost { .. } => start.text("the signal was lost: see to plug, wire and batteries"),
        }
    }
}

/// These words and a cause.
const fn caused(say: Message, by: Cause) -> Message {
    match by {
        Cause::Stick(axis) => say.text("a takeover by axis ").number(axis as u32),
        Cause::LateStep => say.text("a late step"),
        Cause::InstructorLost | Cause::InstructorBack => say.text("a loss of the instructor's signal"),
        Cause::InstructorNow => say.text("instructor now"),
        Cause::BadFrame => say.text("a bad frame"),
        Cause::SwitchOff => say.text("lesson switch off"),
        Cause::LinkLost => say.text("a loss of the student link"),
        Cause::Latch | Cause::HandedBack => say.text("a latched takeover"),
    }
}

/// These words and what is waited for.
const fn missing(say: Message, waiting: Option<Waiting>) -> Message {
    match waiting {
        Some(Waiting::InstructorSignal) => say.text("the instructor's signal"),
        Some(Waiting::Switch | Waiting::Settling { .. }) => say.text("lesson switch on"),
        Some(Waiting::SwitchOffFirst) => say.text("lesson switch off, then on"),
        Some(Waiting::Latch) => say.text("lesson switch off, since a takeover latched"),
        Some(Waiting::StudentLink { .. }) => say.text("the student link"),
        Some(Waiting::Held(axis)) => say.text("axis ").number(axis as u32).text(" let go"),
        Some(Waiting::Gate(axis)) => say.text("the sticks of axis ").number(axis as u32).text(" together"),
        Some(Waiting::Dwell { .. }) | None => say.text("the end of the dwell"),
    }
}

impl Message {
    /// This and a length of time in whole milliseconds.
    const fn millis(self, time: Duration) -> Self {
        self.number(time.as_ticks() / 1000).text(" ms")
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl core::error::Error for Finding {}
