//! What a step finds out, module by module, before it decides who flies.
//!
//! Rules: T4

use core::ops::{BitOr, BitOrAssign};

use super::outcome::Reception;
use crate::quantity::{AxisSet, Duration};

/// What a step received.
#[derive(Clone, Copy, Debug)]
pub(super) struct Heard {
    /// Time since the step before; 0 in the first step.
    pub(super) dt: Duration,
    /// The conditions of T4 that hold in this step. With any of them, the student flies nothing.
    pub(super) objections: Objections,
    pub(super) instructor: Reception,
    pub(super) student: Reception,
}

/// One value that passes through the modules of a step in the order of the contract; each module adds its findings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Findings {
    /// Time since the step before.
    pub(super) dt: Duration,
    /// The conditions of T4 that hold in this step.
    pub(super) objections: Objections,
    /// Whether the step brought a good instructor's frame.
    pub(super) fresh: bool,
    /// The axes whose stick the instructor is holding.
    pub(super) held: AxisSet,
    /// The axes that became held in this step.
    pub(super) newly_held: AxisSet,
    /// What the held axes take from the student, and what those take that became held in this step (T5).
    pub(super) taken: AxisSet,
    pub(super) newly_taken: AxisSet,
    /// Whether any axis became held or free in this step.
    pub(super) touch_changed: bool,
    /// Whether a row of T1 has begun on a free axis.
    pub(super) stirring: bool,
    /// Whether T4 holds in this step and did not hold in the step before.
    pub(super) newly_withheld: bool,
    /// The axes that the student lost in this step, and those that the student gained; at least one of the two sets is
    /// empty.
    pub(super) leaving: AxisSet,
    pub(super) joining: AxisSet,
    /// The axes that only a closed gate keeps from the student (H3).
    pub(super) closed: AxisSet,
}

/// The conditions of T4. Each one takes the whole craft from the student.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Objections(u16);

impl Heard {
    pub(super) const fn nothing(dt: Duration) -> Self {
        Self { dt, objections: Objections::NONE, instructor: Reception::Nothing, student: Reception::Nothing }
    }
}

impl Findings {
    pub(super) const fn new(heard: Heard) -> Self {
        Self {
            dt: heard.dt,
            objections: heard.objections,
            fresh: matches!(heard.instructor, Reception::Good),
            held: AxisSet::EMPTY,
            newly_held: AxisSet::EMPTY,
            taken: AxisSet::EMPTY,
            newly_taken: AxisSet::EMPTY,
            touch_changed: false,
            stirring: false,
            newly_withheld: false,
            leaving: AxisSet::EMPTY,
            joining: AxisSet::EMPTY,
            closed: AxisSet::EMPTY,
        }
    }

    /// Whether at least one of these conditions holds.
    pub(super) const fn raised(&self, these: Objections) -> bool {
        self.objections.0 & these.0 != 0
    }

    /// Whether T4 holds; held sticks are not part of it.
    pub(super) const fn withheld(&self) -> bool {
        self.objections.any()
    }

    /// Whether the step was late, or noticed the loss of the instructor's signal. Then rows and stays restart (R3), and
    /// the switch must be seen off first again (S2).
    pub(super) const fn disturbed(&self) -> bool {
        self.raised(Objections(Objections::LATE_STEP.0 | Objections::INSTRUCTOR_JUST_LOST.0))
    }
}

impl Objections {
    pub(super) const NONE: Self = Self(0);

    pub(super) const fn any(self) -> bool {
        self.0 != 0
    }

    /// The step came too late (K1).
    pub(super) const LATE_STEP: Self = Self(1 << 0);
    /// The instructor's signal was good, and this step noticed its loss (I1).
    pub(super) const INSTRUCTOR_JUST_LOST: Self = Self(1 << 1);
    /// The instructor's signal was lost before this step's frame was read, as in every late step (I1, K1).
    pub(super) const INSTRUCTOR_WAS_LOST: Self = Self(1 << 2);
    /// The instructor's signal is lost at the end of the step (I1).
    pub(super) const INSTRUCTOR_LOST: Self = Self(1 << 3);
    /// The instructor's signal is so old that nobody flies (I2).
    pub(super) const NOBODY: Self = Self(1 << 4);
    /// The instructor asks for the craft with a button (T7).
    pub(super) const INSTRUCTOR_NOW: Self = Self(1 << 5);
    /// A bad frame came from the instructor.
    pub(super) const BAD_FRAME: Self = Self(1 << 6);
    /// The lesson switch is seen off.
    pub(super) const SWITCH_OFF: Self = Self(1 << 7);
    /// The lesson switch is seen on, but was not seen off first (S2).
    pub(super) const NOT_OFF_FIRST: Self = Self(1 << 8);
    /// The lesson switch is seen on, but not for `settle` yet (S3).
    pub(super) const SETTLING: Self = Self(1 << 9);
    /// The student link is lost at some point of the step, or not good yet (L).
    pub(super) const NO_LINK: Self = Self(1 << 10);
    /// The student link was good, and this step noticed its loss (L3).
    pub(super) const LINK_JUST_LOST: Self = Self(1 << 11);
    /// Frames come from the student, but the shared axes have not changed for too long (L4).
    pub(super) const LINK_FROZEN: Self = Self(1 << 12);
    /// A takeover latched (H2).
    pub(super) const LATCH: Self = Self(1 << 13);
}

impl BitOr for Objections {
    type Output = Self;
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitOrAssign for Objections {
    fn bitor_assign(&mut self, other: Self) {
        *self = *self | other;
    }
}
