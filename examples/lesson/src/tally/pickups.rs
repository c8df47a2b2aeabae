//! Outputs that wait for the instructor's stick (T6): the number of waits, their lengths, and their ends.
//!
//! A wait lasts from the step in which the student loses the axis to the step in which its output is no longer kept. An
//! axis that is picked up in the same step in which the student loses it does not wait and is not counted.

use handback::{AxisSet, Policy, Reception};

use super::distribution::Distribution;
use super::seen::Seen;

/// The ends of a wait, in words, in the order of [`Pickups::ended`].
pub(crate) const ENDS: [&str; 4] =
    ["picked up by the stick", "handed back before that", "faded after pickup_max", "cut: button, loss or late"];
const PICKED_UP: usize = 0;
const HANDED_BACK: usize = 1;
const TIMED_OUT: usize = 2;
const CUT: usize = 3;

/// Longer waits, in milliseconds, are counted together; only the longest stays exact.
pub(crate) const LONGEST_MS: usize = 20_000;

/// The waits of all axes.
#[derive(Clone, Debug)]
pub(crate) struct Pickups<const N: usize> {
    /// The lengths of finished waits, in milliseconds.
    pub(crate) lasted_ms: Distribution,
    /// Number of waits by their end, in the order of [`ENDS`].
    pub(crate) ended: [u64; 4],
    /// The axes that waited at least once.
    pub(crate) axes: AxisSet,
    began_us: [Option<u64>; N],
    /// The time of the last good instructor's frame.
    heard_us: u64,
    timeout_us: u64,
    pickup_max_us: u64,
    fades: bool,
}

impl<const N: usize> Pickups<N> {
    pub(super) fn new(policy: &Policy<N>) -> Self {
        Self {
            lasted_ms: Distribution::up_to(LONGEST_MS),
            ended: [0; 4],
            axes: AxisSet::EMPTY,
            began_us: [None; N],
            heard_us: 0,
            timeout_us: policy.timeout.as_ticks().into(),
            pickup_max_us: policy.pickup_max.as_ticks().into(),
            fades: policy.fade.as_ticks() > 0,
        }
    }

    pub(super) fn observe(&mut self, seen: &Seen<'_, N>) {
        let (now, outcome) = (seen.time_us(), seen.outcome);
        let good = outcome.instructor == Reception::Good;
        // A loss that ends in the same step does not show in the outcome while the instructor flies.
        let lost = outcome.instructor_lost || now.saturating_sub(self.heard_us) > self.timeout_us;
        if good {
            self.heard_us = now;
        }
        let waiting = outcome.pickup;
        if waiting.is_empty() && self.began_us.iter().all(Option::is_none) {
            return;
        }
        self.axes = self.axes | waiting;
        for (axis, began) in (0..).zip(&mut self.began_us) {
            if waiting.contains(axis) {
                began.get_or_insert(now);
                continue;
            }
            let Some(lasted_us) = began.take().map(|began| now.saturating_sub(began)) else { continue };
            self.lasted_ms.add(lasted_us / 1000);
            let is_stick = outcome.output.get(axis) == outcome.stick.get(axis);
            let end = match () {
                () if seen.gained().contains(axis) => HANDED_BACK,
                () if seen.row.instructor_now || outcome.late_step || lost => CUT,
                () if lasted_us >= self.pickup_max_us && !(is_stick && self.fades) => TIMED_OUT,
                () => PICKED_UP,
            };
            self.ended[end] += 1;
        }
    }

    /// Number of waits that the lesson's end cut off.
    pub(crate) fn open(&self) -> u64 {
        self.began_us.iter().flatten().count() as u64
    }

    /// Number of waits, including the open ones.
    pub(crate) fn count(&self) -> u64 {
        self.lasted_ms.count() + self.open()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::{Lesson, policy};
    use handback::{Cause, Duration};

    const THROTTLE: AxisSet = AxisSet::EMPTY.with(2);

    /// A takeover at 1 s, after which the throttle waits until just before this millisecond.
    fn waiting_until(ms: u64) -> Lesson {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 980).stick(2, 60);
        lesson.pickup = THROTTLE;
        lesson.take_over_at(1000, Cause::Stick(0)).fly(1020, ms - 20);
        lesson.pickup = AxisSet::EMPTY;
        lesson
    }

    fn ended(lesson: &Lesson) -> ([u64; 4], Option<u64>, u64) {
        let pickups = &lesson.tally.pickups;
        (pickups.ended, pickups.lasted_ms.max(), pickups.open())
    }

    /// Given a takeover after which the throttle waits, when its output is the stick, then the wait has lasted from
    /// the takeover to this step.
    #[test]
    fn a_wait_lasts_until_the_output_is_the_stick() {
        let mut lesson = waiting_until(1500);
        assert_eq!(ended(&lesson), ([0; 4], None, 1));
        lesson.fly(1500, 2000);
        assert_eq!(ended(&lesson), ([1, 0, 0, 0], Some(500), 0));
        assert_eq!((lesson.tally.pickups.axes, lesson.tally.pickups.count()), (THROTTLE, 1));
    }

    #[test]
    fn a_hand_back_ends_a_wait() {
        let mut lesson = waiting_until(1500);
        lesson.hand_back_at(1500).fly(1520, 2000);
        assert_eq!(ended(&lesson), ([0, 1, 0, 0], Some(500), 0));
    }

    /// Given a wait of `pickup_max`, when its output is not yet the stick, then it has timed out.
    #[test]
    fn a_wait_of_pickup_max_has_timed_out() {
        let mut lesson = waiting_until(3000);
        lesson.output_lags = true; // as when a fade from the student's stick begins
        lesson.fly(3000, 3000);
        assert_eq!(ended(&lesson), ([0, 0, 1, 0], Some(2000), 0));
        // An output equal to the stick in that step means a pickup. Without a fade both ends look alike: a timeout.
        let mut lesson = waiting_until(3000);
        lesson.fly(3000, 3000);
        assert_eq!(ended(&lesson).0, [1, 0, 0, 0]);
        let mut without_fade = policy();
        without_fade.fade = Duration::from_ticks(0);
        let mut at_once = Lesson::under(without_fade);
        at_once.hand_back_at(0).pickup = THROTTLE;
        at_once.take_over_at(20, Cause::Stick(0)).fly(40, 2000);
        at_once.pickup = AxisSet::EMPTY;
        at_once.fly(2020, 2020);
        assert_eq!(ended(&at_once).0, [0, 0, 1, 0]);
    }

    #[test]
    fn the_button_and_a_gap_that_lost_the_signal_cut_a_wait() {
        let mut lesson = waiting_until(1500);
        lesson.instructor_now = true;
        lesson.fly(1500, 1500);
        assert_eq!(ended(&lesson).0, [0, 0, 0, 1]);
        // The last frame before came at 1480 ms. At an age of 150 ms the signal is not lost; at 151 ms it is.
        let mut lesson = waiting_until(1500);
        lesson.fly(1630, 1630);
        assert_eq!(ended(&lesson).0, [1, 0, 0, 0]);
        let mut lesson = waiting_until(1500);
        lesson.fly(1631, 1631);
        assert_eq!(ended(&lesson).0, [0, 0, 0, 1]);
    }

    #[test]
    fn an_output_that_never_waits_is_not_counted() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).take_over_at(1000, Cause::Stick(0)).fly(1020, 2000);
        assert_eq!((ended(&lesson), lesson.tally.pickups.axes), (([0; 4], None, 0), AxisSet::EMPTY));
    }
}
