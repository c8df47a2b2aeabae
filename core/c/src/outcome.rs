//! The outcome of a step as plain C data. The conversion names every field, so that no new field of an outcome is left
//! out.

use handback::{Deflection as EngineDeflection, Event as EngineEvent, Outcome as EngineOutcome};

use crate::frame::{AxisSet, Frame, Micros};

/// Who flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Pilot {
    /// Nobody: the instructor's signal is gone and the output is the failsafe frame (I2).
    Nobody,
    /// The instructor flies every axis.
    Instructor,
    /// The student flies some axes, and the instructor the rest.
    Student,
}

/// Why the pilot changed; where several causes apply, the first in this order (A1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
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
    /// A stick (T2): `cause_axis` is the lowest axis that became held in this step.
    Stick,
    /// A takeover latched, and took what the student still had (H2).
    Latch,
    /// The instructor let go, and the conditions of H1 held for the dwell.
    HandedBack,
}

/// The first thing that the student's axes are waiting for (A2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Waiting {
    /// Nothing: the student has every shared axis.
    Nothing,
    /// A good frame from the instructor (I1).
    InstructorSignal,
    /// The lesson switch to be turned on.
    Switch,
    /// The lesson switch to be turned off for long enough, then on (S2).
    SwitchOffFirst,
    /// The lesson switch to settle in its on position, for another `waiting_left` (S3).
    Settling,
    /// The lesson switch to be turned off, which clears the latch (H2).
    Latch,
    /// The student link, for another `waiting_left`; all of `requalify` while the link is lost (L2).
    StudentLink,
    /// `waiting_axis`, the lowest held axis, to be let go (T3).
    Held,
    /// The dwell, for another `waiting_left`; 0 where only a good frame from the instructor is missing (H1).
    Dwell,
    /// The two sticks of `waiting_axis` to come close enough; the lowest axis with a closed gate (H3).
    Gate,
}

/// What came from one side in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
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
#[repr(u8)]
pub enum Link {
    /// No good frame for longer than `timeout`, or none yet.
    Lost,
    /// Frames come again, but not yet for `requalify`.
    Qualifying,
    /// Good.
    Good,
}

/// A change of who flies what (A1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(C)]
pub struct Event {
    /// The instant of the step that made the change.
    pub at: Micros,
    /// The axes that the student flew before.
    pub from_student: AxisSet,
    /// The axes that the student flies now.
    pub to_student: AxisSet,
    /// Who flew before.
    pub from: Pilot,
    /// Who flies now.
    pub to: Pilot,
    /// Why.
    pub cause: Cause,
    /// The axis, for `HANDBACK_CAUSE_STICK`; else 0.
    pub cause_axis: u8,
}

/// The result of one step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(C)]
pub struct Outcome {
    /// The instant that the step was given.
    pub at: Micros,
    /// What goes to the craft.
    pub output: Frame,
    /// The instructor's sticks that this step used: the last good frame; before the first one, the failsafe frame.
    pub stick: Frame,
    /// Distance of the instructor's stick from the output of an axis in `pickup`, above 0 where the stick must come
    /// down; 0 for all other axes. It saturates.
    pub pickup_offset: Frame,
    /// What changed, if `has_event`; else zeroed.
    pub event: Event,
    /// The remaining time, where `waiting` has one; else 0.
    pub waiting_left: Micros,
    /// The axes that the student flies.
    pub student_axes: AxisSet,
    /// The watched axes whose stick the instructor is holding (T1).
    pub held: AxisSet,
    /// The axes that keep their last output until the instructor's stick picks them up (T6).
    pub pickup: AxisSet,
    /// Who flies.
    pub pilot: Pilot,
    /// 1 where who flies what changed in this step (A1), else 0.
    pub has_event: u8,
    /// While the student has less than the shared axes, the first thing waited for (A2).
    pub waiting: Waiting,
    /// The axis, where `waiting` has one; else 0.
    pub waiting_axis: u8,
    /// What came from the instructor.
    pub instructor: Reception,
    /// What came from the student.
    pub student: Reception,
    /// 1 where the instructor's signal is lost at the end of this step (I1), else 0.
    pub instructor_lost: u8,
    /// The state of the student link at the end of this step (L).
    pub link: Link,
    /// 1 where this step came too late after the one before (K1), else 0.
    pub late_step: u8,
}

impl<const N: usize> From<&EngineOutcome<N>> for Outcome {
    fn from(outcome: &EngineOutcome<N>) -> Self {
        let &EngineOutcome {
            at,
            output,
            pilot,
            event,
            waiting,
            held,
            pickup,
            stick,
            instructor,
            student,
            instructor_lost,
            link,
            late_step,
        } = outcome;
        let mut pickup_offset = Frame::default();
        for (bits, axis) in pickup_offset.axes.iter_mut().zip(0..) {
            *bits = outcome.pickup_offset(axis).map_or(0, EngineDeflection::to_bits);
        }
        let (waiting, waiting_axis, waiting_left) = waiting_of(waiting);
        Self {
            at: at.as_ticks(),
            output: Frame::of_engine(&output),
            stick: Frame::of_engine(&stick),
            pickup_offset,
            event: event.map_or(Event::NONE, Event::from),
            waiting_left,
            student_axes: pilot.student().to_bits(),
            held: held.to_bits(),
            pickup: pickup.to_bits(),
            pilot: pilot.into(),
            has_event: event.is_some().into(),
            waiting,
            waiting_axis,
            instructor: instructor.into(),
            student: student.into(),
            instructor_lost: instructor_lost.into(),
            link: link.into(),
            late_step: late_step.into(),
        }
    }
}

impl Event {
    /// An event with all bytes 0.
    const NONE: Self = Self {
        at: 0,
        from_student: 0,
        to_student: 0,
        from: Pilot::Nobody,
        to: Pilot::Nobody,
        cause: Cause::LateStep,
        cause_axis: 0,
    };
}

impl From<EngineEvent> for Event {
    fn from(EngineEvent { at, from, to, cause }: EngineEvent) -> Self {
        let (cause, cause_axis) = cause_of(cause);
        Self {
            at: at.as_ticks(),
            from_student: from.student().to_bits(),
            to_student: to.student().to_bits(),
            from: from.into(),
            to: to.into(),
            cause,
            cause_axis,
        }
    }
}

/// The kind of a cause and its axis.
fn cause_of(cause: handback::Cause) -> (Cause, u8) {
    let kind = match cause {
        handback::Cause::Stick(axis) => return (Cause::Stick, axis),
        handback::Cause::LateStep => Cause::LateStep,
        handback::Cause::InstructorLost => Cause::InstructorLost,
        handback::Cause::InstructorBack => Cause::InstructorBack,
        handback::Cause::InstructorNow => Cause::InstructorNow,
        handback::Cause::BadFrame => Cause::BadFrame,
        handback::Cause::SwitchOff => Cause::SwitchOff,
        handback::Cause::LinkLost => Cause::LinkLost,
        handback::Cause::LinkFrozen => Cause::LinkFrozen,
        handback::Cause::Latch => Cause::Latch,
        handback::Cause::HandedBack => Cause::HandedBack,
    };
    (kind, 0)
}

/// The kind of a waiting, its axis and the remaining time.
fn waiting_of(waiting: Option<handback::Waiting>) -> (Waiting, u8, Micros) {
    match waiting {
        None => (Waiting::Nothing, 0, 0),
        Some(handback::Waiting::InstructorSignal) => (Waiting::InstructorSignal, 0, 0),
        Some(handback::Waiting::Switch) => (Waiting::Switch, 0, 0),
        Some(handback::Waiting::SwitchOffFirst) => (Waiting::SwitchOffFirst, 0, 0),
        Some(handback::Waiting::Settling { left }) => (Waiting::Settling, 0, left.as_ticks()),
        Some(handback::Waiting::Latch) => (Waiting::Latch, 0, 0),
        Some(handback::Waiting::StudentLink { left }) => (Waiting::StudentLink, 0, left.as_ticks()),
        Some(handback::Waiting::Held(axis)) => (Waiting::Held, axis, 0),
        Some(handback::Waiting::Dwell { left }) => (Waiting::Dwell, 0, left.as_ticks()),
        Some(handback::Waiting::Gate(axis)) => (Waiting::Gate, axis, 0),
    }
}

impl From<handback::Pilot> for Pilot {
    fn from(pilot: handback::Pilot) -> Self {
        match pilot {
            handback::Pilot::Nobody => Self::Nobody,
            handback::Pilot::Instructor => Self::Instructor,
            handback::Pilot::Student(_) => Self::Student,
        }
    }
}

impl From<handback::Reception> for Reception {
    fn from(reception: handback::Reception) -> Self {
        match reception {
            handback::Reception::Nothing => Self::Nothing,
            handback::Reception::Good => Self::Good,
            handback::Reception::Bad => Self::Bad,
        }
    }
}

impl From<handback::Link> for Link {
    fn from(link: handback::Link) -> Self {
        match link {
            handback::Link::Lost => Self::Lost,
            handback::Link::Qualifying => Self::Qualifying,
            handback::Link::Good => Self::Good,
        }
    }
}
