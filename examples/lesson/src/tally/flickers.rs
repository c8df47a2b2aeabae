//! Flickers: changes of pilot that are reversed within 300 ms, too soon to be meant.

use handback::Pilot;

use super::seen::Seen;

/// A change reversed within this time is a flicker; in microseconds.
pub(crate) const FLICKER_US: u64 = 300_000;

/// The bit for 'nobody flies', beside those of the sixteen axes.
const NOBODY: u32 = 1 << 16;

/// Steps in which an axis returns within 300 ms to the pilot who lost it. Several axes in one step count once.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Flickers {
    /// Number of flickers.
    pub(crate) count: u64,
    /// The time of the last change of each axis, and of 'nobody flies'.
    changed_us: [Option<u64>; 17],
}

impl Flickers {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let changed = bits(seen.before) ^ bits(seen.after());
        if changed == 0 {
            return;
        }
        let now = seen.time_us();
        let mut undone = false;
        for (bit, last) in self.changed_us.iter_mut().enumerate() {
            if changed & (1 << bit) != 0 {
                undone |= last.is_some_and(|then| now.saturating_sub(then) <= FLICKER_US);
                *last = Some(now);
            }
        }
        self.count += u64::from(undone);
    }
}

fn bits(pilot: Pilot) -> u32 {
    match pilot {
        Pilot::Nobody => NOBODY,
        Pilot::Instructor => 0,
        Pilot::Student(axes) => u32::from(axes.to_bits()),
    }
}

#[cfg(test)]
mod tests {
    use crate::tally::sample::Lesson;
    use handback::{AxisSet, Cause, Pilot};

    #[test]
    fn a_change_undone_after_exactly_300_ms_is_a_flicker() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(1000).take_over_at(2000, Cause::Stick(0)).hand_back_at(2300);
        assert_eq!(lesson.tally.flickers.count, 1);
    }

    #[test]
    fn a_change_undone_after_301_ms_is_none() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(1000).take_over_at(2000, Cause::Stick(0)).hand_back_at(2301);
        assert_eq!(lesson.tally.flickers.count, 0);
    }

    #[test]
    fn every_change_of_a_chatter_but_the_first_is_one() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(1000);
        for at in [2000, 2080, 2160] {
            lesson.take_over_at(at, Cause::Stick(0)).hand_back_at(at + 40);
        }
        assert_eq!(lesson.tally.flickers.count, 5);
    }

    #[test]
    fn another_axis_that_goes_over_meanwhile_undoes_nothing() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(1000);
        lesson.change(2000, Pilot::Student(AxisSet::of(&[0])), Cause::Stick(1));
        lesson.change(2100, Pilot::Instructor, Cause::Stick(0));
        assert_eq!(lesson.tally.flickers.count, 0);
        // Only axis 0 returns within 300 ms; axis 1 returns after 310 ms.
        lesson.change(2310, Pilot::Student(AxisSet::of(&[0, 1])), Cause::HandedBack);
        assert_eq!(lesson.tally.flickers.count, 1);
    }
}
