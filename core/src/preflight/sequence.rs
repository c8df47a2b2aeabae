//! The sequence as data: which steps there are, what each asks for, and which follows which under a policy.

use core::fmt;

use super::spot::{End, Side};
use crate::message::Message;
use crate::outcome::Cause;

/// A step of the check: one named action, and what is to come of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Action {
    /// Both transmitters on, lesson switch off, sticks without a spring at their safe place, hands off the others.
    Start,
    /// A stick to one end, and held there: which axis moves, which way and how far.
    Move {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
        /// Whereto.
        end: End,
    },
    /// The same stick back to its rest: where that is, and whether the axis lets go (T3, R2).
    Return {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
    },
    /// The lesson switch on: the student gets the shared axes (S3, H1).
    HandOver,
    /// The instructor moves a watched stick a little: it takes over (T2, T5).
    TakeOver {
        /// Which.
        axis: u8,
    },
    /// The instructor lets go of it: the craft goes back (H1), or stays where the policy latches (H2).
    HandBack {
        /// Which.
        axis: u8,
    },
    /// The lesson switch off, then on: the craft is taken at once (S3), what kept it is cleared, and it goes back.
    Again {
        /// What kept it; [`Cause::SwitchOff`] where nothing did and the switch itself is what is tried.
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
    /// Nothing more.
    Done,
}

impl Action {
    /// What to ask for: who does what.
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
                side.start().text("axis ").number(axis as u32).text(" back to its rest, and hands off")
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

    /// Whose turn it is; `None` where both are asked, or nobody.
    pub const fn side(&self) -> Option<Side> {
        match self {
            Self::Start | Self::Done => None,
            Self::Move { side, .. } | Self::Return { side, .. } => Some(*side),
            Self::LinkOff | Self::LinkOn => Some(Side::Student),
            _ => Some(Side::Instructor),
        }
    }

    /// The axis that is asked for, if it is one.
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
