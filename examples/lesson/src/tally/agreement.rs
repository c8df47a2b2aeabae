//! Compares the engine with its float reference, and checks that every change is announced by A1 and S1.

use handback::Event;

use super::seen::Seen;

/// The differences between engine and float reference in one step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Differs {
    /// The decisions differ.
    pub(crate) decision: bool,
    /// The outputs differ.
    pub(crate) output: bool,
}

/// The errors of one kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Wrong {
    /// Number of steps with the error.
    pub(crate) count: u64,
    /// The time of the first one, in microseconds.
    pub(crate) first_us: u64,
}

/// The errors of every kind; 0 in a sound build.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Agreement {
    /// Decisions of engine and reference differ (N3).
    pub(crate) decisions: Wrong,
    /// Outputs of engine and reference differ (N3).
    pub(crate) outputs: Wrong,
    /// A change of pilot without an event (A1).
    pub(crate) unannounced: Wrong,
    /// An event without a change of pilot (A1).
    pub(crate) groundless: Wrong,
    /// An event that names another change or another instant (A1).
    pub(crate) misnamed: Wrong,
    /// An event up to the instructor's first good frame, or with it (S1).
    pub(crate) at_start: Wrong,
}

impl Wrong {
    fn count(&mut self, happened: bool, now_us: u64) {
        if happened {
            if self.count == 0 {
                self.first_us = now_us;
            }
            self.count += 1;
        }
    }
}

impl Agreement {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>, differs: Differs) {
        let now_us = seen.time_us();
        self.decisions.count(differs.decision, now_us);
        self.outputs.count(differs.output, now_us);
        let event = seen.outcome.event;
        // S1: nothing is announced up to and with the instructor's first good frame, which changes the pilot from
        // nobody.
        if seen.starting {
            self.at_start.count(event.is_some(), now_us);
            return;
        }
        self.unannounced.count(event.is_none() && seen.changed(), now_us);
        self.groundless.count(event.is_some() && !seen.changed(), now_us);
        let names = |event: Event| (event.from, event.to, event.at) == (seen.before, seen.after(), seen.outcome.at);
        self.misnamed.count(seen.changed() && event.is_some_and(|event| !names(event)), now_us);
    }

    /// Whether decisions and outputs of engine and reference are the same.
    pub(crate) fn agrees(&self) -> bool {
        [self.decisions, self.outputs].iter().all(|wrong| wrong.count == 0)
    }

    /// Whether every change of pilot was announced, and nothing else.
    pub(crate) fn announces(&self) -> bool {
        [self.unannounced, self.groundless, self.misnamed, self.at_start].iter().all(|wrong| wrong.count == 0)
    }

    /// Whether there were no errors of any kind.
    pub(crate) fn is_sound(&self) -> bool {
        self.agrees() && self.announces()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::Lesson;
    use handback::{AxisSet, Cause, Pilot, Reception};

    /// The counts of decisions, outputs, unannounced, groundless, misnamed and at the start.
    fn counts(lesson: &Lesson) -> [u64; 6] {
        let Agreement { decisions, outputs, unannounced, groundless, misnamed, at_start } = lesson.tally.agreement;
        [decisions, outputs, unannounced, groundless, misnamed, at_start].map(|wrong| wrong.count)
    }

    /// A lesson whose first step is over, so that changes are announced.
    fn begun() -> Lesson {
        let mut lesson = Lesson::new();
        lesson.fly(0, 0);
        lesson
    }

    #[test]
    fn a_lesson_without_a_difference_is_sound() {
        let mut lesson = begun();
        lesson.hand_back_at(20).take_over_at(40, Cause::Stick(0));
        assert!(lesson.tally.agreement.is_sound());
    }

    #[test]
    fn decisions_and_outputs_that_differ_are_counted_apart() {
        let mut lesson = begun();
        lesson.differs = Differs { decision: false, output: true };
        lesson.fly(60, 80);
        assert_eq!(counts(&lesson), [0, 2, 0, 0, 0, 0]);
        assert_eq!(lesson.tally.agreement.outputs.first_us, 60_000);
        lesson.differs = Differs { decision: true, output: false };
        lesson.fly(100, 100);
        assert_eq!(counts(&lesson), [1, 2, 0, 0, 0, 0]);
        assert_eq!(lesson.tally.agreement.decisions.first_us, 100_000);
        assert!(!lesson.tally.agreement.agrees() && lesson.tally.agreement.announces());
    }

    #[test]
    fn a_change_that_nobody_announced_is_not_sound() {
        let mut lesson = begun();
        lesson.hand_back_at(20);
        lesson.swallow_event = true;
        lesson.take_over_at(40, Cause::Stick(0));
        assert_eq!(counts(&lesson), [0, 0, 1, 0, 0, 0]);
        assert!(lesson.tally.agreement.agrees() && !lesson.tally.agreement.announces());
    }

    #[test]
    fn an_announcement_without_a_change_is_not_sound() {
        let mut lesson = begun();
        lesson.hand_back_at(20).hand_back_at(40);
        assert_eq!(counts(&lesson), [0, 0, 0, 1, 0, 0]);
    }

    #[test]
    fn an_announcement_of_another_change_is_not_sound() {
        let mut lesson = begun();
        lesson.hand_back_at(20).claims_from = Some(Pilot::Nobody);
        lesson.take_over_at(40, Cause::Stick(0));
        assert_eq!(counts(&lesson), [0, 0, 0, 0, 1, 0]);
        // A subset of the student's axes is another change too.
        lesson.claims_from = Some(Pilot::Student(AxisSet::of(&[0])));
        lesson.hand_back_at(60);
        assert_eq!(counts(&lesson), [0, 0, 0, 0, 2, 0]);
    }

    #[test]
    fn a_start_without_a_good_frame_is_sound_until_it_announces() {
        for (first, silent) in [(Reception::Nothing, true), (Reception::Bad, true), (Reception::Good, false)] {
            // Given three steps in which nobody flies, with no frame, a bad frame or a good frame
            let mut lesson = Lesson::new();
            lesson.reception.0 = first;
            lesson.nobody().fly(0, 40);
            // When the instructor flies without an announcement, then that is the start only if no good frame came
            // before
            lesson.reception.0 = Reception::Good;
            lesson.instructor().fly(60, 60);
            assert_eq!(counts(&lesson), [0, 0, u64::from(!silent), 0, 0, 0], "{first:?}");
            // The next change is announced.
            lesson.hand_back_at(80);
            assert_eq!(lesson.tally.agreement.is_sound(), silent, "{first:?}");
        }
    }

    #[test]
    fn an_announcement_with_the_first_good_frame_is_not_sound() {
        let mut lesson = Lesson::new();
        lesson.reception.0 = Reception::Nothing;
        lesson.nobody().fly(0, 40);
        lesson.reception.0 = Reception::Good;
        lesson.take_over_at(60, Cause::InstructorBack);
        assert_eq!(counts(&lesson), [0, 0, 0, 0, 0, 1]);
        lesson.hand_back_at(80);
        assert_eq!(counts(&lesson), [0, 0, 0, 0, 0, 1]);
    }
}
