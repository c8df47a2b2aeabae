//! The first and the last changes of pilot in a lesson, and the exact number of all changes.

mod latch;
mod words;

use std::collections::VecDeque;

use handback::{AxisSet, Cause, Deflection, Outcome, Pilot};

pub(crate) use latch::{Latch, keeping};
pub(crate) use words::{clock, is_takeover, kept_by, listed, sentence, short, wait, waited_for};

use crate::row::Truth;

/// Number of changes kept from the beginning of a lesson, and from its end.
pub(crate) const KEPT: usize = 500;

/// One change of pilot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Entry {
    /// Microseconds since the lesson began.
    pub(crate) time_us: u64,
    /// The pilot before.
    pub(crate) from: Pilot,
    /// The pilot after.
    pub(crate) to: Pilot,
    /// The cause in the engine's event.
    pub(crate) cause: Cause,
    /// The position of the stick that took over.
    pub(crate) stick: Option<Deflection>,
    /// The instructor's reason to fly; empty where it is not known.
    pub(crate) reason: &'static str,
    /// Whether the instructor meant to fly, where that is known.
    pub(crate) meant: Option<bool>,
    /// Whether the instructor keeps what was taken until the lesson switch is turned off and on.
    pub(crate) latched: Latch,
}

/// The first and the last changes of a lesson.
#[derive(Clone, Debug, Default)]
pub(crate) struct Timeline {
    /// The time of the first step and its pilot.
    pub(crate) began: Option<(u64, Pilot)>,
    first: Vec<Entry>,
    last: VecDeque<Entry>,
    count: u64,
    /// The axes that were held in the last step.
    held: AxisSet,
}

impl Timeline {
    /// Keeps the change in this step, if there is one. `keep` are the axes with `keep`.
    pub(crate) fn observe<const N: usize>(
        &mut self,
        time_us: u64,
        outcome: &Outcome<N>,
        truth: Option<&Truth>,
        keep: AxisSet,
    ) {
        let latched = Latch::of(outcome, std::mem::replace(&mut self.held, outcome.held), keep);
        if self.began.is_none() {
            self.began = Some((time_us, outcome.event.map_or(outcome.pilot, |event| event.from)));
        }
        let Some(event) = outcome.event else { return };
        let stick = match event.cause {
            Cause::Stick(axis) => outcome.stick.get(axis),
            _ => None,
        };
        let (from, to, cause) = (event.from, event.to, event.cause);
        let (reason, meant) = truth.map_or(("", None), |truth| (truth.reason, Some(truth.meant)));
        self.push(Entry { time_us, from, to, cause, stick, reason, meant, latched });
    }

    fn push(&mut self, entry: Entry) {
        self.count += 1;
        if self.first.len() < KEPT {
            self.first.push(entry);
            return;
        }
        if self.last.len() == KEPT {
            self.last.pop_front();
        }
        self.last.push_back(entry);
    }

    /// Number of all changes.
    pub(crate) fn count(&self) -> u64 {
        self.count
    }

    /// The first changes.
    pub(crate) fn first(&self) -> &[Entry] {
        &self.first
    }

    /// The last changes, none of which is among the first.
    pub(crate) fn last(&self) -> impl DoubleEndedIterator<Item = &Entry> + ExactSizeIterator {
        self.last.iter()
    }

    /// Whether every change was kept.
    pub(crate) fn is_whole(&self) -> bool {
        self.count <= (self.first.len() + self.last.len()) as u64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::Lesson;

    /// Given a long lesson, when its changes are listed, then the first and the last are kept and all are counted.
    #[test]
    fn a_long_lesson_keeps_its_first_and_last_changes() {
        let mut lesson = Lesson::new();
        for turn in 0..800 {
            lesson.hand_back_at(turn * 2000 + 20).take_over_at(turn * 2000 + 1000, Cause::Stick(0));
        }
        let timeline = &lesson.tally.timeline;
        assert_eq!((timeline.count(), timeline.first().len(), timeline.last().len()), (1600, KEPT, KEPT));
        assert!(!timeline.is_whole());
        assert_eq!(timeline.first()[0].time_us, 20_000);
        assert_eq!(timeline.last().next_back().unwrap().time_us, 1_599_000_000);
    }

    #[test]
    fn a_change_remembers_the_stick_and_the_reason() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(true);
        lesson.reason = "too much bank";
        lesson.hand_back_at(20).stick(0, 12).take_over_at(1000, Cause::Stick(0));
        let entry = lesson.tally.timeline.first()[1];
        assert_eq!(entry.stick, Some(Deflection::from_points(12)));
        assert_eq!((entry.reason, entry.meant), ("too much bank", Some(true)));
    }
}
