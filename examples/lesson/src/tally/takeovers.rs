//! Takeovers: steps in which the instructor takes an axis from the student, by cause and by axis, with the false ones; and
//! the steps in which the student loses one to nobody.

use handback::Cause;

use super::seen::Seen;
use crate::timeline::is_takeover;

/// The causes in the contract's order (A1), in plain words for an instructor.
pub(crate) const CAUSES: [&str; Cause::KINDS] = [
    "late step",
    "instructor's signal lost",
    "instructor's signal back",
    "instructor-now button",
    "bad instructor's frame",
    "lesson switch off",
    "student's radio link lost",
    "student's radio link frozen",
    "stick",
    "latch",
    "handed back",
];

/// The place of a cause in [`CAUSES`].
pub(crate) const fn cause_index(cause: Cause) -> usize {
    match cause {
        Cause::LateStep => 0,
        Cause::InstructorLost => 1,
        Cause::InstructorBack => 2,
        Cause::InstructorNow => 3,
        Cause::BadFrame => 4,
        Cause::SwitchOff => 5,
        Cause::LinkLost => 6,
        Cause::LinkFrozen => 7,
        Cause::Stick(_) => 8,
        Cause::Latch => 9,
        Cause::HandedBack => 10,
    }
}

/// Steps in which the student lost an axis.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Takeovers {
    /// Number of takeovers.
    pub(crate) count: u64,
    /// By cause, in the order of [`CAUSES`].
    pub(crate) by_cause: [u64; Cause::KINDS],
    /// Losses that are no takeovers, by cause.
    pub(crate) untaken: [u64; Cause::KINDS],
    /// Takeovers by a stick, by axis.
    pub(crate) by_axis: [u64; 16],
    /// Takeovers by a stick with known intent of the instructor.
    pub(crate) judged: u64,
    /// Takeovers by a stick in steps in which the instructor did not mean to fly: the false ones.
    pub(crate) not_meant: u64,
}

impl Takeovers {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let Some(event) = seen.outcome.event else { return };
        if seen.lost().is_empty() {
            return;
        }
        if !is_takeover(event.to, event.cause) {
            self.untaken[cause_index(event.cause)] += 1;
            return;
        }
        self.count += 1;
        self.by_cause[cause_index(event.cause)] += 1;
        let Cause::Stick(axis) = event.cause else { return };
        if let Some(count) = self.by_axis.get_mut(usize::from(axis)) {
            *count += 1;
        }
        if let Some(truth) = seen.truth {
            self.judged += 1;
            self.not_meant += u64::from(!truth.meant);
        }
    }

    /// Number of takeovers by a stick.
    pub(crate) fn by_stick(&self) -> u64 {
        self.by_cause[cause_index(Cause::Stick(0))]
    }

    /// Number of false takeovers; `None` where the intent of the instructor is not known, as on a trace.
    pub(crate) fn false_ones(&self) -> Option<u64> {
        (self.judged == self.by_stick()).then_some(self.not_meant)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::Lesson;

    #[test]
    fn a_stick_takeover_that_was_not_meant_is_a_false_one() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(false);
        lesson.hand_back_at(20).take_over_at(40, Cause::Stick(2)).hand_back_at(400);
        lesson.meant = Some(true);
        lesson.take_over_at(900, Cause::Stick(0));
        let takeovers = lesson.tally.takeovers;
        assert_eq!((takeovers.by_stick(), takeovers.false_ones()), (2, Some(1)));
        assert_eq!(takeovers.by_axis[..3], [1, 0, 1]);
    }

    #[test]
    fn turning_the_switch_off_is_never_false() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(false);
        lesson.hand_back_at(20).take_over_at(40, Cause::SwitchOff);
        let takeovers = lesson.tally.takeovers;
        assert_eq!((takeovers.count, takeovers.false_ones()), (1, Some(0)));
        assert_eq!(takeovers.by_cause[cause_index(Cause::SwitchOff)], 1);
    }

    /// Given a lost signal of the instructor, when the craft goes to nobody, at once or later, then nobody took over.
    #[test]
    fn a_loss_to_nobody_is_no_takeover() {
        for to in [handback::Pilot::Instructor, handback::Pilot::Nobody] {
            let mut lesson = Lesson::new();
            lesson.hand_back_at(20).change(40, to, Cause::InstructorLost);
            let Takeovers { count, by_cause, untaken, .. } = lesson.tally.takeovers;
            let (taken, lost) = (by_cause.iter().sum::<u64>(), untaken[cause_index(Cause::InstructorLost)]);
            assert_eq!((count, taken, lost), (0, 0, 1), "{to:?}");
        }
    }

    #[test]
    fn without_the_truth_nothing_is_known_about_false_takeovers() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(20).take_over_at(40, Cause::Stick(0));
        assert_eq!(lesson.tally.takeovers.false_ones(), None);
    }
}
