//! The plan with which a box starts, and a new plan.

use core::fmt;

use embedded_storage::nor_flash::NorFlash;
use handback::Message;
use trainer_box::{CheckedPlan, Desk, PlanError};

use crate::file::{FILE_BYTES, decode};
use crate::file_error::FileError;
use crate::slots::{NotWritten, Slots, Unreadable};

/// What the flash holds for a box that starts.
#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant)] // it is made once, at the start
pub enum AtStart<const N: usize, const M: usize, const S: usize> {
    /// No plan was ever stored: the box takes its default plan.
    Nothing,
    /// The stored plan, which passed its check.
    Plan(CheckedPlan<N, M, S>),
    /// What is stored is not to be used. The box must start [without the student](trainer_box::Plan::instructor_alone)
    /// and say so.
    Refused(Refusal),
}

impl<const N: usize, const M: usize, const S: usize> AtStart<N, M, S> {
    /// The plan with which the box starts: the stored one, or one of these two.
    pub const fn plan<'a>(
        &'a self,
        default: &'a CheckedPlan<N, M, S>,
        without_student: &'a CheckedPlan<N, M, S>,
    ) -> &'a CheckedPlan<N, M, S> {
        match self {
            Self::Nothing => default,
            Self::Plan(plan) => plan,
            Self::Refused(_) => without_student,
        }
    }

    /// Why the stored plan is not used; the box must say so with a [notice](trainer_box::Notice), and in its log.
    pub const fn refusal(&self) -> Option<Refusal> {
        if let Self::Refused(why) = self { Some(*why) } else { None }
    }
}

/// Why a stored plan is not to be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The flash cannot be read.
    Flash,
    /// The flash has not kept what was written to it.
    Damaged,
    /// The bytes are no file of a plan for this box.
    File(FileError),
    /// The plan does not pass its check.
    Plan(PlanError),
}

/// Why a plan was not stored. The plan before it is still stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotStored {
    /// The box does not check the bench: it may be flying.
    NotOnBench,
    /// The lesson switch is on.
    SwitchOn,
    /// The bytes are no file of a plan for this box.
    File(FileError),
    /// The plan does not pass its check.
    Plan(PlanError),
    /// The flash does not keep what is written to it, or fails.
    Flash,
}

/// Reads and checks the stored plan.
pub fn at_start<const N: usize, const M: usize, const S: usize, F: NorFlash>(slots: &mut Slots<F>) -> AtStart<N, M, S> {
    let mut room = [0; FILE_BYTES];
    let file = match slots.load(&mut room) {
        Ok(Some(file)) => file,
        Ok(None) => return AtStart::Nothing,
        Err(Unreadable::Damaged) => return AtStart::Refused(Refusal::Damaged),
        Err(Unreadable::Flash(_)) => return AtStart::Refused(Refusal::Flash),
    };
    match checked(file) {
        Ok(plan) => AtStart::Plan(plan),
        Err(Wrong::File(why)) => AtStart::Refused(Refusal::File(why)),
        Err(Wrong::Plan(why)) => AtStart::Refused(Refusal::Plan(why)),
    }
}

/// A file that may be stored.
#[derive(Clone, Copy, Debug)]
#[must_use = "nothing is stored yet"]
pub struct Permit<'a> {
    file: &'a [u8],
}

/// Permits a file to be stored, where the box [checks the bench](trainer_box::TrainerBox::on_bench) and the lesson
/// switch is off, and where its plan passes the check.
///
/// # Errors
/// Where it is not to be stored.
pub fn permit<const N: usize, const M: usize, const S: usize>(
    file: &[u8],
    on_bench: bool,
    desk: Desk,
) -> Result<Permit<'_>, NotStored> {
    if !on_bench {
        return Err(NotStored::NotOnBench);
    }
    if desk.lesson_switch {
        return Err(NotStored::SwitchOn);
    }
    match checked::<N, M, S>(file) {
        Ok(_) => Ok(Permit { file }),
        Err(Wrong::File(why)) => Err(NotStored::File(why)),
        Err(Wrong::Plan(why)) => Err(NotStored::Plan(why)),
    }
}

impl Permit<'_> {
    /// Stores the file. The box takes its plan at the next start.
    ///
    /// It takes as long as the flash needs to be erased and written, in which the box may not be able to run. Before
    /// the call, the firmware ends the train to the craft and gives the watchdog more time.
    ///
    /// # Errors
    /// Where the flash fails. The plan before it is still stored.
    pub fn store<F: NorFlash>(self, slots: &mut Slots<F>) -> Result<(), NotStored> {
        slots.store(self.file).map_err(|why| match why {
            NotWritten::TooLong { .. } => NotStored::File(FileError::Room { bytes: FILE_BYTES }),
            NotWritten::Worn | NotWritten::Flash(_) => NotStored::Flash,
        })
    }
}

enum Wrong {
    File(FileError),
    Plan(PlanError),
}

fn checked<const N: usize, const M: usize, const S: usize>(file: &[u8]) -> Result<CheckedPlan<N, M, S>, Wrong> {
    decode(file).map_err(Wrong::File)?.check().map_err(Wrong::Plan)
}

impl Refusal {
    /// The refusal in words.
    pub fn message(&self) -> Message {
        let said = Message::new().text("stored plan: ");
        match self {
            Self::Flash => said.text("the flash cannot be read: store it again, or replace the board"),
            Self::Damaged => said.text("the flash has not kept it: store it again"),
            Self::File(why) => said.text(why.message().as_str()),
            Self::Plan(why) => said.text(why.message().as_str()),
        }
    }
}

impl NotStored {
    /// The reason in words.
    pub fn message(&self) -> Message {
        let said = Message::new();
        match self {
            Self::NotOnBench => said.text(
                "the box may be flying; power it on with transmitters and switch off and instructor-now held for two seconds",
            ),
            Self::SwitchOn => said.text("the lesson switch is on: turn it off"),
            Self::File(why) => said.text(why.message().as_str()),
            Self::Plan(why) => said.text(why.message().as_str()),
            Self::Flash => said.text("the flash does not keep it: try again, or replace the board"),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl fmt::Display for NotStored {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "not stored: {}", self.message().as_str())
    }
}

impl core::error::Error for Refusal {}

impl core::error::Error for NotStored {}
