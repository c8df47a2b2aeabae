//! Whether the engine and its float reference agreed, and whether every change was announced.

use super::seen::Seen;

/// How the engine's step differs from the float reference's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Differs {
    /// The reference decided something else.
    pub(crate) decision: bool,
    /// The reference put something else out.
    pub(crate) output: bool,
}

/// Steps that should not have happened; all zero in a sound build.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Agreement {
    /// Steps in which the reference decided something else.
    pub(crate) decisions: u64,
    /// Steps in which the reference put something else out.
    pub(crate) outputs: u64,
    /// Steps in which who flies changed without an event, or an event came without a change (A1).
    pub(crate) unannounced: u64,
    /// When the first of these happened, in microseconds.
    pub(crate) first_us: Option<u64>,
}

impl Agreement {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>, differs: Differs) {
        let unannounced = seen.changed() != seen.outcome.event.is_some();
        self.decisions += u64::from(differs.decision);
        self.outputs += u64::from(differs.output);
        self.unannounced += u64::from(unannounced);
        if differs.decision || differs.output || unannounced {
            self.first_us.get_or_insert(seen.time_us());
        }
    }

    /// Whether nothing differed and everything was announced.
    pub(crate) fn is_sound(&self) -> bool {
        self.first_us.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::Lesson;
    use handback::Cause;

    #[test]
    fn a_lesson_without_a_difference_is_sound() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(20).take_over_at(40, Cause::Stick(0));
        assert!(lesson.tally.agreement.is_sound());
    }

    #[test]
    fn one_differing_output_is_counted_with_its_moment() {
        let mut lesson = Lesson::new();
        lesson.differs = Differs { decision: false, output: true };
        lesson.fly(60, 60);
        assert_eq!((lesson.tally.agreement.decisions, lesson.tally.agreement.outputs), (0, 1));
        assert_eq!(lesson.tally.agreement.first_us, Some(60_000));
        assert!(!lesson.tally.agreement.is_sound());
    }

    #[test]
    fn a_change_that_nobody_announced_is_not_sound() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(20);
        lesson.swallow_event = true;
        lesson.take_over_at(40, Cause::Stick(0));
        assert_eq!(lesson.tally.agreement.unannounced, 1);
    }
}
