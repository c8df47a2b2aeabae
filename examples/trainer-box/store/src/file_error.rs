//! Why bytes are no stored plan.

use core::fmt;

use handback::Message;

use crate::file::VERSION;

/// The first thing that is wrong with a file.
///
/// `Display` and [`message`](Self::message) say what it is, with its value and the remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileError {
    /// There is no room for the plan.
    Room {
        /// The room, in bytes.
        bytes: usize,
    },
    /// It is longer or shorter than it says.
    Length {
        /// Its length, in bytes.
        bytes: usize,
        /// The length that it says, or the least length of a file.
        needed: usize,
    },
    /// It does not begin as a stored plan begins.
    Mark,
    /// It has another version of the format.
    Version {
        /// Its version.
        version: u8,
    },
    /// It is for another number of axes.
    Axes {
        /// Its number of axes.
        axes: u8,
        /// That of the box.
        of_box: u8,
    },
    /// Its check value does not fit its bytes.
    Check,
    /// Its check value fits, but its bytes are no plan.
    Content,
}

impl FileError {
    /// The error in words.
    pub fn message(&self) -> Message {
        let say = Message::new();
        match *self {
            Self::Room { bytes } => of(say.text("the plan does not fit into "), bytes).text(" bytes"),
            Self::Length { bytes, needed } => {
                let has = of(say.text("the file has "), bytes).text(" bytes instead of ");
                of(has, needed).text(": it was cut or added to; write it again")
            }
            Self::Mark => say.text("the file does not begin with tbox: it is no plan of a trainer box"),
            Self::Version { version } => say
                .text("the file has version ")
                .number(version.into())
                .text(" of the format, and this box reads version ")
                .number(VERSION.into())
                .text(": write it again, with the tool that came with the box"),
            Self::Axes { axes, of_box } => say
                .text("the file is for ")
                .number(axes.into())
                .text(" axes, and this box has ")
                .number(of_box.into())
                .text(": write a file for this box"),
            Self::Check => {
                say.text("the check value of the file is wrong: it was changed after it was made; write it again")
            }
            Self::Content => say.text("the file has a right check value, but is no plan: write it again"),
        }
    }
}

fn of(say: Message, bytes: usize) -> Message {
    say.number(u32::try_from(bytes).unwrap_or(u32::MAX))
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl core::error::Error for FileError {}
