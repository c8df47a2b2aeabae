//! Why a plan is refused: the part, the axis, the field, the value and the remedy.

use core::fmt;

use handback::cue::CueError;
use handback::ppm::PpmError;
use handback::{ChannelError, Message, Micros, PolicyError};

use crate::name::{AxisName, NameFault};

/// The first error of a plan.
///
/// `Display` and [`message`](Self::message) name it and its remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// The name of an axis.
    Name {
        /// The lowest axis with this error.
        axis: u8,
        /// Its name; its first characters, where it is too long.
        name: AxisName,
        /// What is wrong with it.
        fault: NameFault,
    },
    /// An error of the policy.
    Policy(PolicyError),
    /// An error of the channels of one side.
    Channels(Part, ChannelError<Micros>),
    /// The pulse train of one side.
    Train(Part, PpmError),
    /// The cues.
    Cues(CueError),
    /// An axis on a channel that its train does not have.
    NoSuchChannel {
        /// The side.
        part: Part,
        /// The lowest axis with this error.
        axis: u8,
        /// The number of its channel.
        number: u8,
        /// The number of channels of the train.
        channels: u8,
    },
    /// The train to the craft has more channels than the instructor's.
    CraftChannels {
        /// The number of channels of the train to the craft.
        craft: u8,
        /// That of the instructor's train.
        instructor: u8,
    },
    /// An axis without a channel in the instructor's train: every frame would be bad.
    InstructorChannel {
        /// The lowest axis with this error.
        axis: u8,
    },
    /// A rate or a limit on the instructor's side. The instructor takes over by moving a stick and needs its full
    /// travel.
    InstructorReduced {
        /// The lowest axis with this error.
        axis: u8,
    },
    /// A shared axis without a channel.
    SharedChannel {
        /// The part in which it is missing.
        part: Part,
        /// The lowest axis with this error.
        axis: u8,
    },
}

/// A side of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The instructor's transmitter.
    Instructor,
    /// The student's transmitter.
    Student,
    /// The craft.
    Craft,
}

impl Part {
    /// Its name in [`Plan`](crate::Plan).
    pub const fn name(self) -> &'static str {
        match self {
            Self::Instructor => "instructor",
            Self::Student => "student",
            Self::Craft => "craft",
        }
    }
}

impl PlanError {
    /// The error in words. In a `const`, the compiler prints them.
    pub const fn message(&self) -> Message {
        let say = Message::new();
        match *self {
            Self::Name { axis, name, fault } => wrong_name(say.text("names: axis ").number(axis as u32), &name, fault),
            Self::Policy(why) => say.text("policy: ").text(why.message().as_str()),
            Self::Channels(part, why) => say.text(part.name()).text(": ").text(why.message().as_str()),
            Self::Train(part, why) => say.text(part.name()).text("_train: ").text(why.message().as_str()),
            Self::Cues(why) => say.text("cues: ").text(why.message().as_str()),
            Self::NoSuchChannel { part, axis, number, channels } => {
                let is = say.text(part.name()).text(": axis ").number(axis as u32).text(": number is ");
                let only = is.number(number as u32).text(": the train has only ").number(channels as u32);
                only.text(" channels, counted from 0")
            }
            Self::CraftChannels { craft, instructor } => say
                .text("craft_train: channels is ")
                .number(craft as u32)
                .text(": it must be at most ")
                .number(instructor as u32)
                .text(", the instructor's, from which channels without an axis come"),
            Self::InstructorChannel { axis } => say
                .text("instructor: axis ")
                .number(axis as u32)
                .text(" has no channel: the instructor must be able to fly every axis"),
            Self::InstructorReduced { axis } => say
                .text("instructor: axis ")
                .number(axis as u32)
                .text(" has a rate or a limit: these are for the student alone"),
            Self::SharedChannel { part, axis } => say
                .text(part.name())
                .text(": axis ")
                .number(axis as u32)
                .text(" has no channel: give it one, or do not share it"),
        }
    }
}

const fn wrong_name(axis: Message, name: &AxisName, fault: NameFault) -> Message {
    let named = axis.text(": \"").text(name.as_str()).text("\" ");
    match fault {
        NameFault::Empty => axis.text(" has no name: give it 1 to 15 characters"),
        NameFault::TooLong => named.text("is too long: a name has at most 15 characters"),
        NameFault::Character => named.text(
            "is no name: use the visible characters of ASCII without comma, quote and backslash, and no space at an end",
        ),
        NameFault::Twice(other) => {
            named.text("is the name of axis ").number(other as u32).text(" too: give it another name")
        }
    }
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl core::error::Error for PlanError {}
