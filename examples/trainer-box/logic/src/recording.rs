//! Recordings: the steps of one engine, from its first to its last.
//!
//! A replay starts with a new engine. So a recording does too, and the box starts a new engine from time to time where
//! nobody notices: the instructor flies with the switch off before and after, and the output is the same.

use handback::{Frame, Instant, Outcome, Pilot, Pulse, Reception};
use outcome_digest::{Crc32, OutcomeBytes};

use crate::trainer_box::Desk;

/// The shortest recording that the box ends by itself, in microseconds: a lesson's recording begins at most this long
/// before the lesson switch goes on.
const APART: u32 = 10_000_000;

/// The instructor must have flown with the switch off for this long before a new recording, in microseconds.
const CALM: u32 = 1_000_000;

/// One step of the engine: what it was given, and the check value of what it decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row<const N: usize, const M: usize, const S: usize> {
    /// Whether this is the first step of a recording: the engine is new.
    pub begins: bool,
    /// The instant of the step.
    pub at: Instant,
    /// The instructor's switch and button.
    pub desk: Desk,
    /// The instructor's frame, if one came.
    pub instructor: Option<Received<N, M>>,
    /// The student's frame, if one came.
    pub student: Option<Received<N, S>>,
    /// The CRC-32 of every outcome since the recording began, this one included.
    pub check: u32,
}

/// A train and the frame that was made of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Received<const N: usize, const M: usize> {
    /// The widths of all channels.
    pub train: [Pulse; M],
    /// The frame that the engine was given.
    pub frame: Frame<N>,
}

/// The present recording.
#[derive(Clone, Debug)]
pub(crate) struct Recording {
    began: Instant,
    /// The time since which the instructor has flown with the switch off, and no axis has waited for its pickup.
    calm_since: Option<Instant>,
    check: Crc32,
}

impl Recording {
    pub(crate) const fn new(now: Instant) -> Self {
        Self { began: now, calm_since: None, check: Crc32::new() }
    }

    /// Notes an outcome of the engine. Says whether a new recording may begin in the same step. `fade` is the policy's,
    /// in microseconds: a fade to the instructor's stick follows a wait, and must be over.
    pub(crate) fn may_end<const N: usize>(&mut self, desk: Desk, outcome: &Outcome<N>, fade: u32) -> bool {
        let now = outcome.at;
        if desk.lesson_switch || outcome.pilot != Pilot::Instructor || !outcome.pickup.is_empty() {
            self.calm_since = None;
            return false;
        }
        let calm_since = *self.calm_since.get_or_insert(now);
        let steady = outcome.instructor == Reception::Good && !outcome.late_step && outcome.event.is_none();
        steady && passed(calm_since, now) >= CALM.max(fade) && passed(self.began, now) >= APART
    }

    /// Adds an outcome to the check value, and returns it.
    pub(crate) fn add<const N: usize>(&mut self, outcome: &Outcome<N>) -> u32 {
        OutcomeBytes::of(outcome).digest(&mut self.check);
        self.check.value()
    }
}

/// Whether a new engine may replace the old one, after both took the same step: nobody notices the change.
pub(crate) fn same_to_people<const N: usize>(old: &Outcome<N>, new: &Outcome<N>) -> bool {
    old.output == new.output && new.pilot == Pilot::Instructor && old.pilot == new.pilot && new.event.is_none()
}

/// The time from `since` to `now` in microseconds. The clock may wrap.
pub(crate) const fn passed(since: Instant, now: Instant) -> u32 {
    now.as_ticks().wrapping_sub(since.as_ticks())
}
