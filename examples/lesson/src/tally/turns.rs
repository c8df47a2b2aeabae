//! The time that each pilot flew, and the student's turns.

use handback::Pilot;

use super::seen::Seen;
use crate::count::percent;

/// Time by pilot. The student flies while the student has at least one axis. The pilot of a step counts until the next
/// step.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Turns {
    /// Number of steps.
    pub(crate) steps: u64,
    /// The times of the first and the last step, in microseconds.
    pub(crate) span_us: Option<(u64, u64)>,
    /// Time that the student flew, in microseconds.
    pub(crate) student_us: u64,
    /// Time that the instructor flew every axis, in microseconds.
    pub(crate) instructor_us: u64,
    /// Time that nobody flew, in microseconds.
    pub(crate) nobody_us: u64,
    /// Number of the student's turns, including an unfinished last one.
    pub(crate) count: u64,
    /// The shortest finished turn, in microseconds.
    pub(crate) shortest_us: Option<u64>,
    longest_over_us: u64,
    began_us: Option<u64>,
}

impl Turns {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let now = seen.time_us();
        let (first, last) = self.span_us.unwrap_or((now, now));
        let dt = now.saturating_sub(last);
        match seen.before {
            Pilot::Student(_) => self.student_us += dt,
            Pilot::Instructor => self.instructor_us += dt,
            Pilot::Nobody => self.nobody_us += dt,
        }
        self.steps += 1;
        self.span_us = Some((first, now.max(last)));

        match (self.began_us, seen.after()) {
            (None, Pilot::Student(_)) => {
                self.began_us = Some(now);
                self.count += 1;
            }
            (Some(began), Pilot::Instructor | Pilot::Nobody) => {
                self.began_us = None;
                let lasted = now.saturating_sub(began);
                self.shortest_us = Some(self.shortest_us.map_or(lasted, |least| least.min(lasted)));
                self.longest_over_us = self.longest_over_us.max(lasted);
            }
            (None, _) | (Some(_), Pilot::Student(_)) => {}
        }
    }

    /// The time from the first step to the last, in microseconds.
    pub(crate) fn lasted_us(&self) -> u64 {
        self.span_us.map_or(0, |(first, last)| last.saturating_sub(first))
    }

    /// The longest turn, including an unfinished last one; in microseconds.
    pub(crate) fn longest_us(&self) -> Option<u64> {
        let (_, last) = self.span_us?;
        let unfinished = self.began_us.map_or(0, |began| last.saturating_sub(began));
        (self.count > 0).then_some(self.longest_over_us.max(unfinished))
    }

    /// The student's share of the lesson, in whole percent.
    pub(crate) fn student_percent(&self) -> u64 {
        percent(self.student_us, self.lasted_us())
    }

    /// The student's share of the lesson, 0 to 1.
    #[allow(clippy::cast_precision_loss)] // 2^53 us are 285 years
    pub(crate) fn student_share(&self) -> f64 {
        let lasted = self.lasted_us();
        if lasted == 0 { 0.0 } else { self.student_us as f64 / lasted as f64 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::Lesson;
    use handback::Cause;

    #[test]
    fn time_goes_to_whoever_flew_since_the_step_before() {
        let mut lesson = Lesson::new();
        lesson.fly(0, 80).hand_back_at(100).fly(120, 480).take_over_at(500, Cause::SwitchOff).fly(520, 600);
        let turns = lesson.tally.turns;
        assert_eq!((turns.instructor_us, turns.student_us, turns.nobody_us), (200_000, 400_000, 0));
        assert_eq!(turns.lasted_us(), 600_000);
        assert_eq!((turns.count, turns.shortest_us, turns.longest_us()), (1, Some(400_000), Some(400_000)));
    }

    /// Given a turn that the end of the lesson cut short, when turns are compared, then it is not the shortest turn
    /// but may be the longest.
    #[test]
    fn an_unfinished_turn_may_be_the_longest_not_the_shortest() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).take_over_at(100, Cause::SwitchOff).hand_back_at(200).fly(220, 700);
        let turns = lesson.tally.turns;
        assert_eq!((turns.count, turns.shortest_us, turns.longest_us()), (2, Some(100_000), Some(500_000)));
    }

    #[test]
    fn an_empty_lesson_has_no_turns() {
        let turns = Turns::default();
        assert_eq!((turns.lasted_us(), turns.longest_us(), turns.shortest_us), (0, None, None));
        assert!(turns.student_share().abs() < f64::EPSILON);
    }
}
