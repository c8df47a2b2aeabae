//! The frames of both sides, and the losses.

use handback::{Policy, Reception};

use super::losses::Losses;
use super::seen::Seen;

/// The frames of one side.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Side {
    /// Steps with a good frame.
    pub(crate) good: u64,
    /// Steps with a bad frame, which counts as none.
    pub(crate) bad: u64,
    /// Steps without a frame: normal where steps come faster than frames.
    pub(crate) missing: u64,
}

/// The signals of both sides, and the clock.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Signals {
    /// The instructor's side.
    pub(crate) instructor: Side,
    /// The student's side.
    pub(crate) student: Side,
    /// Number of losses of either, and of late steps.
    pub(crate) losses: Losses,
}

impl Signals {
    pub(super) fn new<const N: usize>(policy: &Policy<N>) -> Self {
        Self { instructor: Side::default(), student: Side::default(), losses: Losses::new(policy) }
    }

    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let (instructor, student) = (seen.outcome.instructor, seen.outcome.student);
        self.instructor.count(instructor);
        self.student.count(student);
        self.losses.observe(seen.time_us(), instructor == Reception::Good, student == Reception::Good);
    }
}

impl Side {
    fn count(&mut self, reception: Reception) {
        match reception {
            Reception::Good => self.good += 1,
            Reception::Bad => self.bad += 1,
            Reception::Nothing => self.missing += 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tally::sample::Lesson;
    use handback::Reception;

    #[test]
    fn frames_are_counted_by_what_they_were() {
        let mut lesson = Lesson::new();
        lesson.fly(0, 100);
        lesson.reception = (Reception::Bad, Reception::Nothing);
        lesson.fly(120, 140);
        let signals = lesson.tally.signals;
        assert_eq!((signals.instructor.good, signals.instructor.bad, signals.instructor.missing), (6, 2, 0));
        assert_eq!((signals.student.good, signals.student.bad, signals.student.missing), (6, 0, 2));
    }

    #[test]
    fn a_bad_frame_does_not_keep_a_signal_from_being_lost() {
        for (reception, losses) in [(Reception::Good, 0), (Reception::Bad, 1), (Reception::Nothing, 1)] {
            // Given a good link, when no good frame comes for 160 ms, which exceeds `timeout`
            let mut lesson = Lesson::new();
            lesson.fly(0, 1000);
            lesson.reception = (reception, reception);
            lesson.fly(1020, 1160);
            let counted = lesson.tally.signals.losses;
            assert_eq!((counted.instructor, counted.student), (losses, losses), "{reception:?}");
        }
    }
}
