//! Height lost from a mistake to the recovery, where a simulation provides heights.

use super::distribution::Distribution;
use super::seen::Seen;

/// A mistake whose rescue is not over, or has not begun.
#[derive(Clone, Copy, Debug)]
struct Rescue {
    mistake_m: f64,
    lowest_m: f64,
    /// Whether the student has lost the craft since the mistake.
    taken: bool,
}

/// Rescues: each lasts from the mistake to the next hand back.
#[derive(Clone, Debug)]
pub(crate) struct Rescues {
    now: Option<Rescue>,
    /// Height lost in each, in tenths of a metre: the height at the mistake minus the lowest height before the hand
    /// back.
    pub(crate) lost_dm: Distribution,
    /// Whether the lesson provides heights.
    pub(crate) known: bool,
}

impl Default for Rescues {
    fn default() -> Self {
        Self { now: None, lost_dm: Distribution::up_to(5000), known: false }
    }
}

impl Rescues {
    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let Some(truth) = seen.truth else { return };
        self.known = true;
        if !seen.gained().is_empty()
            && let Some(over) = self.now.take_if(|rescue| rescue.taken)
        {
            self.lost_dm.add(tenths(over.mistake_m - over.lowest_m));
        }
        if let (None, Some(mistake_m)) = (self.now, truth.mistake_height_m) {
            self.now = Some(Rescue { mistake_m, lowest_m: truth.height_m, taken: false });
        }
        let Some(rescue) = &mut self.now else { return };
        rescue.lowest_m = rescue.lowest_m.min(truth.height_m);
        rescue.taken |= !seen.lost().is_empty();
        if !rescue.taken && truth.mistake_height_m.is_none() {
            self.now = None; // the student corrected it before a takeover
        }
    }

    /// Number of rescues without a hand back before the end of the lesson.
    pub(crate) fn unfinished(&self) -> u64 {
        u64::from(self.now.is_some_and(|rescue| rescue.taken))
    }
}

/// Metres as whole tenths; 0 where height was gained.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, and is not negative
fn tenths(metres: f64) -> u64 {
    (metres * 10.0).round().max(0.0) as u64
}

#[cfg(test)]
mod tests {
    use crate::tally::sample::Lesson;
    use handback::Cause;

    /// Given a mistake, when the instructor takes over and catches the craft, then the height lost is from the mistake
    /// to the lowest point before the handback.
    #[test]
    fn height_lost_is_from_the_mistake_to_the_lowest_point() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(false);
        lesson.height_m = 50.0;
        lesson.hand_back_at(0).fly(20, 100);
        // When the limit is passed at 47 m, the craft is taken over at 45 m, and its lowest point is at 41.5 m
        lesson.meant = Some(true);
        lesson.mistake_m = Some(47.0);
        lesson.height_m = 46.0;
        lesson.fly(120, 120);
        lesson.height_m = 45.0;
        lesson.take_over_at(140, Cause::Stick(1));
        lesson.height_m = 41.5;
        lesson.fly(160, 160);
        lesson.height_m = 55.0;
        lesson.mistake_m = None;
        lesson.fly(180, 180);
        assert_eq!((lesson.tally.rescues.lost_dm.count(), lesson.tally.rescues.unfinished()), (0, 1));
        // Then 5.5 m were lost, counted at the hand back.
        lesson.hand_back_at(600);
        assert_eq!((lesson.tally.rescues.lost_dm.max(), lesson.tally.rescues.unfinished()), (Some(55), 0));
    }

    #[test]
    fn a_mistake_that_the_student_corrected_is_no_rescue() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(true);
        lesson.height_m = 30.0;
        lesson.hand_back_at(0);
        lesson.mistake_m = Some(30.0);
        lesson.fly(20, 40);
        lesson.mistake_m = None;
        lesson.height_m = 5.0;
        lesson.fly(60, 60).take_over_at(80, Cause::SwitchOff).hand_back_at(500);
        assert_eq!(lesson.tally.rescues.lost_dm.count(), 0);
    }
}
