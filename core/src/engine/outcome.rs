//! The outcome of a step: the output, who flies it, what changed and why, and what is waited for.

use crate::quantity::{AxisSet, Deflection, Duration, Frame, Instant};

/// The result of one step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Outcome<const N: usize> {
    /// The instant that the step was given.
    pub at: Instant,
    /// What goes to the craft.
    pub output: Frame<N>,
    /// Who flies.
    pub pilot: Pilot,
    /// The change of who flies in this step, if there was one (A1).
    pub event: Option<Event>,
    /// While the student has less than the shared axes, the first thing waited for (A2).
    pub waiting: Option<Waiting>,
    /// The watched axes whose stick the instructor is holding (T1).
    pub held: AxisSet,
    /// The axes that keep their last output until the instructor's stick picks them up (T6).
    pub pickup: AxisSet,
    /// The instructor's sticks that this step used: the last good frame, or the failsafe frame before the first one.
    pub stick: Frame<N>,
    /// What came from the instructor.
    pub instructor: Reception,
    /// What came from the student.
    pub student: Reception,
    /// Whether the instructor's signal is lost at the end of this step (I1).
    pub instructor_lost: bool,
    /// The state of the student link at the end of this step (L).
    pub link: Link,
    /// Whether this step came too late after the one before (K1).
    pub late_step: bool,
}

/// Who flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Pilot {
    /// Nobody: the instructor's signal is gone and the output is the failsafe frame (I2).
    Nobody,
    /// The instructor flies every axis.
    Instructor,
    /// The student flies these axes, of which there is at least one, and the instructor the rest.
    Student(AxisSet),
}

/// A change of who flies what (A1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Event {
    /// The instant of the step that made the change.
    pub at: Instant,
    /// Who flew before.
    pub from: Pilot,
    /// Who flies now.
    pub to: Pilot,
    /// Why.
    pub cause: Cause,
}

/// Why the pilot changed; where several causes apply, the first in this order (A1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Cause {
    /// The step came too late after the one before (K1).
    LateStep,
    /// The instructor's signal was lost (I1, I2).
    InstructorLost,
    /// The instructor's signal came back (I1).
    InstructorBack,
    /// *Instructor now* was asked for (T7).
    InstructorNow,
    /// A bad frame from the instructor (T4).
    BadFrame,
    /// The lesson switch was turned off (S3).
    SwitchOff,
    /// The student link was lost (L3).
    LinkLost,
    /// Frames still came from the student, but the shared axes had not changed for `frozen_after` (L4).
    LinkFrozen,
    /// A stick: the lowest axis that became held in this step (T2).
    Stick(u8),
    /// A takeover latched, and took what the student still had (H2).
    Latch,
    /// The instructor let go, and the conditions of H1 held for the dwell.
    HandedBack,
}

/// The first thing that the student's axes are waiting for (A2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Waiting {
    /// A good frame from the instructor (I1).
    InstructorSignal,
    /// The lesson switch to be turned on.
    Switch,
    /// The lesson switch to be turned off for long enough, then on (S2).
    SwitchOffFirst,
    /// The lesson switch to settle in its on position (S3).
    Settling {
        /// The remaining time.
        left: Duration,
    },
    /// The lesson switch to be turned off, which clears the latch (H2).
    Latch,
    /// The student link (L2).
    StudentLink {
        /// The remaining time without a loss; all of `requalify` while the link is lost.
        left: Duration,
    },
    /// The lowest held axis to be let go (T3).
    Held(u8),
    /// The dwell (H1).
    Dwell {
        /// The remaining time; 0 where only a good frame from the instructor is missing.
        left: Duration,
    },
    /// The two sticks of this axis to come close enough; the lowest axis with a closed gate (H3).
    Gate(u8),
}

/// What came from one side in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Reception {
    /// No frame: normal where steps come faster than frames.
    Nothing,
    /// A good frame.
    Good,
    /// A frame in which an axis that matters is beyond `plausible`; it counts as no frame.
    Bad,
}

/// The state of the student link (L).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Link {
    /// No good frame for longer than `timeout`, or none yet.
    Lost,
    /// Frames come again, but not yet for `requalify`.
    Qualifying,
    /// Good.
    Good,
}

impl Pilot {
    /// The pilot in which the student flies these axes and the instructor the rest.
    ///
    /// ```
    /// use handback::{Pilot, AxisSet};
    /// assert_eq!(Pilot::with_student(AxisSet::EMPTY), Pilot::Instructor);
    /// ```
    pub const fn with_student(axes: AxisSet) -> Self {
        if axes.is_empty() { Self::Instructor } else { Self::Student(axes) }
    }

    /// The axes that the student flies.
    pub const fn student(self) -> AxisSet {
        match self {
            Self::Student(axes) => axes,
            Self::Instructor | Self::Nobody => AxisSet::EMPTY,
        }
    }
}

impl Cause {
    /// How many kinds of cause there are, all axes of [`Stick`](Self::Stick) counted as one.
    pub const KINDS: usize = 11;

    /// The index of this kind of cause in the order of the list, from 0.
    ///
    /// ```
    /// use handback::Cause;
    /// assert_eq!((Cause::LateStep.kind(), Cause::HandedBack.kind()), (0, Cause::KINDS - 1));
    /// ```
    pub const fn kind(self) -> usize {
        match self {
            Self::LateStep => 0,
            Self::InstructorLost => 1,
            Self::InstructorBack => 2,
            Self::InstructorNow => 3,
            Self::BadFrame => 4,
            Self::SwitchOff => 5,
            Self::LinkLost => 6,
            Self::LinkFrozen => 7,
            Self::Stick(_) => 8,
            Self::Latch => 9,
            Self::HandedBack => 10,
        }
    }
}

impl<const N: usize> Outcome<N> {
    /// Distance of the instructor's stick from the output of an axis that waits for its pickup: positive where the
    /// stick must come down. `None` where the axis does not wait.
    ///
    /// It saturates at the range of a [`Deflection`].
    pub fn pickup_offset(&self, axis: u8) -> Option<Deflection> {
        if !self.pickup.contains(axis) {
            return None;
        }
        Some(self.stick.get(axis)?.saturating_sub(self.output.get(axis)?))
    }
}
