//! The places of the bench: transmitters, and ends of a stick.

use crate::message::Message;

/// One of the two transmitters, and the person who holds it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Side {
    /// The student's.
    Student,
    /// The instructor's.
    Instructor,
}

/// One end of a stick's travel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum End {
    /// Up or right: more deflection.
    Positive,
    /// Down or left: less.
    Negative,
}

impl Side {
    /// Its name in messages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Student => "student",
            Self::Instructor => "instructor",
        }
    }

    pub(super) const fn other(self) -> Self {
        match self {
            Self::Student => Self::Instructor,
            Self::Instructor => Self::Student,
        }
    }

    /// The beginning of a sentence for this side.
    pub(super) const fn start(self) -> Message {
        Message::new().text(self.name()).text(": ")
    }
}

impl End {
    /// Its name in messages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Positive => "positive",
            Self::Negative => "negative",
        }
    }

    /// The directions in which a hand moves towards it.
    pub const fn ways(self) -> &'static str {
        match self {
            Self::Positive => "up or right",
            Self::Negative => "down or left",
        }
    }

    /// The positive end if this is true.
    pub(super) const fn positive_if(positive: bool) -> Self {
        if positive { Self::Positive } else { Self::Negative }
    }
}
