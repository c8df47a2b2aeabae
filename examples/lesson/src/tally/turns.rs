//! Who flew how long, and the student's turns.

use handback::Pilot;

use super::seen::Seen;

/// Time by who flies; the student flies while the student has at least one axis. A step's pilot lasts until the
/// next.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Turns {
    /// Steps counted.
    pub(crate) steps: u64,
    /// The time of the first step and of the last.
    pub(crate) span_us: Option<(u64, u64)>,
    /// Time the student flew, in microseconds.
    pub(crate) student_us: u64,
    /// Time the instructor flew every axis.
    pub(crate) instructor_us: u64,
    /// Time nobody flew.
    pub(crate) nobody_us: u64,
    /// The student's turns, the one going on at the end included.
    pub(crate) count: u64,
    /// The shortest turn that was over before the lesson was.
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

    /// How long the lesson lasted, from its first step to its last.
    pub(crate) fn lasted_us(&self) -> u64 {
        self.span_us.map_or(0, |(first, last)| last.saturating_sub(first))
    }

    /// The longest turn, the one going on at the end included.
    pub(crate) fn longest_us(&self) -> Option<u64> {
        let (_, last) = self.span_us?;
        let unfinished = self.began_us.map_or(0, |began| last.saturating_sub(began));
        (self.count > 0).then_some(self.longest_over_us.max(unfinished))
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
