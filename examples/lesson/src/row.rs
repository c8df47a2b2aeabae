//! One row of a lesson: what the engine is given in a step, and what a simulation knows besides.

use handback::{Frame, Inputs, Instant};

/// What the engine is given in one step.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row<const N: usize> {
    /// Microseconds since the lesson began; the engine gets the low 32 bits.
    pub(crate) time_us: u64,
    /// The instructor's frame, if one came.
    pub(crate) instructor: Option<Frame<N>>,
    /// The student's frame, if one came.
    pub(crate) student: Option<Frame<N>>,
    /// Whether the lesson switch is seen on.
    pub(crate) lesson_switch: bool,
    /// Whether the instructor asks for the craft with the button.
    pub(crate) instructor_now: bool,
}

impl<const N: usize> Row<N> {
    /// The instant of this row on the engine's wrapping clock.
    pub(crate) fn now(&self) -> Instant {
        #[allow(clippy::cast_possible_truncation)] // the wrap is the point
        Instant::from_ticks(self.time_us as u32)
    }

    /// The row as the engine takes it.
    pub(crate) fn inputs(&self) -> Inputs<'_, N> {
        Inputs {
            instructor: self.instructor.as_ref(),
            student: self.student.as_ref(),
            lesson_switch: self.lesson_switch,
            instructor_now: self.instructor_now,
        }
    }
}

/// What only a simulation knows about a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Truth {
    /// Height above ground in metres.
    pub(crate) height_m: f64,
    /// Bank in degrees, right wing down positive.
    pub(crate) bank_deg: f64,
    /// Rate of sink in metres per second, down positive.
    pub(crate) sink_mps: f64,
    /// Whether the instructor means to fly in this step: from the step in which a hand first moves a stick until the
    /// hands let go. A takeover in a step where this is false is a false one.
    pub(crate) meant: bool,
    /// Why the instructor means to fly, a few words for the timeline ("too much bank"); empty where not.
    pub(crate) reason: &'static str,
    /// Height in metres at the moment the student passed the limit that made the instructor act; while `meant`.
    pub(crate) mistake_height_m: Option<f64>,
}
