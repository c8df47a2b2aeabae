//! The words of a finding: where, what was seen against what was expected, and the remedy.

use core::fmt;

use super::finding::Finding;
use crate::engine::Waiting;
use crate::message::Message;

impl Finding {
    /// The place, what was seen against what was expected, and the remedy.
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
            Self::NotHandedOver { waiting } => {
                let waits = start.text("the student did not get the craft; what is missing: ");
                missing(waits, waiting).text(": put that right")
            }
            Self::NotSeen { step } => Message::new()
                .text("not seen: ")
                .text(step.message().as_str())
                .text(": do it when asked; if it was done, check its wire or channel"),
            Self::LinkRepeats => start
                .text("the link stays good, and its frames never change, with the transmitter off: ")
                .text("set the receiver's failsafe so that its pulses stop, or set frozen_after"),
            Self::SignalLost { .. } => start.text("the signal was lost: check plug, wire and batteries"),
        }
    }
}

/// Appends the name of what is waited for.
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

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl core::error::Error for Finding {}
