//! The actions as data, and the words in which they are asked for.

use core::fmt;

use super::spot::{End, Side};
use crate::engine::Cause;
use crate::message::Message;

/// A named action that the check asks for, with the result that it expects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Action {
    /// Both transmitters on, lesson switch off, sticks without a spring at their safe place, hands off the others.
    Start,
    /// A stick to one end, and held there: shows which axis moves, in which direction and how far.
    Move {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// The end.
        end: End,
    },
    /// The same stick back, let go or to its safe place: shows where it rests, and whether the axis becomes free (T3, R2).
    Return {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
    },
    /// The lesson switch on: the student gets the shared axes (S3, H1).
    HandOver,
    /// The instructor moves a watched stick a little: it takes over (T2, T5).
    TakeOver {
        /// The axis.
        axis: u8,
    },
    /// The instructor releases that stick: the craft goes back (H1), or is kept by a latch (H2).
    HandBack {
        /// The axis.
        axis: u8,
    },
    /// The lesson switch off, then on: the craft is taken at once (S3), a latch is cleared, and the craft goes back.
    Again {
        /// What kept the craft; [`Cause::SwitchOff`] if nothing did and the switch itself is tried.
        after: Cause,
    },
    /// The student's transmitter off: the craft is the instructor's after `timeout` (L1, L3).
    LinkOff,
    /// The student's transmitter on: the craft goes back after `requalify` (L2), or waits for the switch (S2).
    LinkOn,
    /// The instructor-now button pressed and let go: the craft is taken at once, and kept (T7).
    Press,
    /// The lesson switch off, and left there.
    Finish,
    /// The sequence is over.
    Done,
}

impl Action {
    /// The words that ask for it: who does what.
    ///
    /// ```
    /// use handback::preflight::{End, Side, Action};
    /// let step = Action::Move { side: Side::Student, axis: 0, end: End::Positive };
    /// assert_eq!(step.to_string(), "student: axis 0 to its positive end (up or right), and hold it there");
    /// ```
    pub const fn message(&self) -> Message {
        let say = Message::new();
        match *self {
            Self::Start => say.text("both: throttle safe, hands off all other sticks, lesson switch off"),
            Self::Move { side, axis, end } => {
                let stick = side.start().text("axis ").number(axis as u32).text(" to its ").text(end.name());
                stick.text(" end (").text(end.ways()).text("), and hold it there")
            }
            Self::Return { side, axis } => {
                let back = side.start().text("axis ").number(axis as u32).text(" back: let it go; ");
                back.text("if it has no spring, to its safe place, and hands off")
            }
            Self::HandOver => say.text("instructor: lesson switch on"),
            Self::TakeOver { axis } => {
                say.text("instructor: move axis ").number(axis as u32).text(" a little and keep it there")
            }
            Self::HandBack { axis } => Self::Return { side: Side::Instructor, axis }.message(),
            Self::Again { .. } => say.text("instructor: lesson switch off, then on"),
            Self::LinkOff => say.text("student: transmitter off"),
            Self::LinkOn => say.text("student: transmitter on, throttle safe"),
            Self::Press => say.text("instructor: press the instructor-now button, and let it go"),
            Self::Finish => say.text("instructor: lesson switch off"),
            Self::Done => say.text("the check is through"),
        }
    }

    /// The side that is asked; `None` for both or nobody.
    pub const fn side(&self) -> Option<Side> {
        match self {
            Self::Start | Self::Done => None,
            Self::Move { side, .. } | Self::Return { side, .. } => Some(*side),
            Self::LinkOff | Self::LinkOn => Some(Side::Student),
            _ => Some(Side::Instructor),
        }
    }

    /// The axis that is asked for; `None` if it is none.
    pub const fn axis(&self) -> Option<u8> {
        match *self {
            Self::Move { axis, .. } | Self::Return { axis, .. } | Self::TakeOver { axis } | Self::HandBack { axis } => {
                Some(axis)
            }
            _ => None,
        }
    }
}

impl fmt::Display for Action {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}
