//! What came from either side, and what was lost.

use handback::{Cause, Duration, Link, Reception};

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
    /// How often the signal was lost after it had been good.
    pub(crate) losses: u64,
}

/// The signals of both sides, and the clock.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Signals {
    /// The instructor's side.
    pub(crate) instructor: Side,
    /// The student's side.
    pub(crate) student: Side,
    /// Steps that came later than the policy's `stall` after the one before.
    pub(crate) stalls: u64,
    stall_us: u64,
    last_us: Option<u64>,
    instructor_was_lost: bool,
    link_was: Link,
}

impl Signals {
    pub(super) fn new(stall: Duration) -> Self {
        Self {
            instructor: Side::default(),
            student: Side::default(),
            stalls: 0,
            stall_us: u64::from(stall.as_ticks()),
            last_us: None,
            instructor_was_lost: true,
            link_was: Link::Lost,
        }
    }

    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let outcome = seen.outcome;
        self.instructor.count(outcome.instructor);
        self.student.count(outcome.student);

        // A loss that the same step mends again shows in the cause alone.
        let cause = outcome.event.map(|event| event.cause);
        let instructor_lost = outcome.instructor_lost || cause == Some(Cause::InstructorLost);
        self.instructor.losses += u64::from(instructor_lost && !self.instructor_was_lost);
        self.instructor_was_lost = outcome.instructor_lost;
        let link_lost = outcome.link != Link::Good || cause == Some(Cause::LinkLost);
        self.student.losses += u64::from(link_lost && self.link_was == Link::Good);
        self.link_was = outcome.link;

        let now = seen.time_us();
        let last = self.last_us.replace(now).unwrap_or(now);
        self.stalls += u64::from(now.checked_sub(last).is_none_or(|dt| dt > self.stall_us));
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
    use handback::{Cause, Link, Reception};

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
    fn a_link_is_lost_once_however_long_it_stays_away_and_not_at_the_start() {
        let mut lesson = Lesson::new();
        lesson.link = Link::Lost;
        lesson.fly(0, 100);
        lesson.link = Link::Good;
        lesson.hand_back_at(200);
        lesson.link = Link::Lost;
        lesson.take_over_at(400, Cause::LinkLost).fly(420, 500);
        lesson.link = Link::Qualifying;
        lesson.fly(520, 600);
        assert_eq!(lesson.tally.signals.student.losses, 1);
    }

    #[test]
    fn a_loss_that_the_same_step_mends_counts_all_the_same() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(200).take_over_at(400, Cause::LinkLost);
        assert_eq!(lesson.tally.signals.student.losses, 1);
        lesson.hand_back_at(800).take_over_at(1000, Cause::InstructorLost);
        assert_eq!(lesson.tally.signals.instructor.losses, 1);
    }

    #[test]
    fn a_step_that_comes_exactly_at_the_limit_is_no_stall_and_a_later_one_is() {
        let mut lesson = Lesson::new();
        lesson.fly(0, 0).fly(250, 250);
        assert_eq!(lesson.tally.signals.stalls, 0);
        lesson.fly(501, 501);
        assert_eq!(lesson.tally.signals.stalls, 1);
    }
}
