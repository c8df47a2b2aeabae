//! Latency of a takeover: from the first frame in which a stick is out of its dead band while the student flies, to the
//! frame in which the instructor has the craft.
//!
//! It begins with an input frame and ends with an output frame. An axis whose output is kept until its stick picks it
//! up (T6) is the instructor's as soon as it leaves the student's set; its wait is counted elsewhere (`pickups`). The
//! measurement does not use the engine's set of held axes, except to learn the rest of an unsprung stick.

use handback::{AxisSet, Deflection, Frame, Outcome, Policy, Reception, Rest, Scope, Transfer};

use super::distribution::Distribution;
use super::seen::Seen;

/// A watched axis, which can take something from the student.
#[derive(Clone, Copy, Debug)]
struct Watch {
    axis: u8,
    engage: u16,
    /// Good frames in a row beyond `engage` that the policy requires.
    confirm: u32,
    /// The axes that it takes (T5).
    takes: AxisSet,
    /// Whether it rests where it was left. Its rest is then its position when the student's set last grew (R2).
    where_left: bool,
    /// Good frames since the first one out of the dead band, while the instructor does not have the craft yet.
    waited: Option<u32>,
}

/// Latency from the instructor's movement until the instructor has the craft, in good instructor's frames.
#[derive(Clone, Debug)]
pub(crate) struct Latency<const N: usize> {
    watches: Vec<Watch>,
    rests: [Option<Deflection>; N],
    /// Axes with `Snap`, whose output is the instructor's stick as soon as they leave the student's set.
    snap: AxisSet,
    /// The latencies, in frames; 0 is the same frame.
    pub(crate) frames: Distribution,
    /// Number of movements that ended before `confirm` frames: no takeover was due.
    pub(crate) brushes: u64,
    /// Number of movements of `confirm` frames or more without a takeover; 0 in a sound build.
    pub(crate) unanswered: u64,
}

impl<const N: usize> Latency<N> {
    pub(super) fn new(policy: &Policy<N>) -> Self {
        let mut watches = Vec::with_capacity(N);
        let mut rests = [None; N];
        let mut snap = AxisSet::EMPTY;
        for ((axis, rule), rest) in (0..).zip(&policy.axes).zip(&mut rests) {
            *rest = match rule.rest {
                Rest::At(rest) => Some(rest),
                Rest::WhereLeft { .. } => None,
            };
            if rule.transfer == Transfer::Snap {
                snap = snap.with(axis);
            }
            let own = policy.scope == Scope::Axis && policy.shared.contains(axis);
            if policy.watched.contains(axis) {
                watches.push(Watch {
                    axis,
                    engage: rule.engage.to_bits().unsigned_abs(),
                    confirm: u32::from(rule.confirm),
                    takes: if own { AxisSet::EMPTY.with(axis) } else { policy.shared },
                    where_left: rest.is_none(),
                    waited: None,
                });
            }
        }
        Self { watches, rests, snap, frames: Distribution::up_to(1000), brushes: 0, unanswered: 0 }
    }

    pub(super) fn observe(&mut self, seen: &Seen<'_, N>) {
        let outcome = seen.outcome;
        if !seen.gained().is_empty() {
            self.note_rests(outcome);
        }
        let student = seen.before.student() | seen.after().student();
        let (Some(frame), Reception::Good) = (&seen.row.instructor, outcome.instructor) else { return };
        let snap = self.snap;
        for watch in &mut self.watches {
            if watch.waited.is_none() && !watch.takes.meets(student) {
                continue;
            }
            let place = usize::from(watch.axis);
            let Some(rest) = self.rests[place] else { continue };
            let out = frame.axes()[place].to_bits().abs_diff(rest.to_bits()) > watch.engage;
            watch.waited = match (watch.waited, out) {
                (None, false) => continue,
                (None, true) => Some(0),
                (Some(frames), true) => Some(frames.saturating_add(1)),
                (Some(frames), false) => {
                    let due = frames.saturating_add(1) >= watch.confirm;
                    *(if due { &mut self.unanswered } else { &mut self.brushes }) += 1;
                    None
                }
            };
            if let Some(frames) = watch.waited.take_if(|_| is_the_instructors(watch.takes, snap, frame, outcome)) {
                self.frames.add(u64::from(frames));
            }
        }
    }

    fn note_rests(&mut self, outcome: &Outcome<N>) {
        for watch in &mut self.watches {
            if watch.where_left && !outcome.held.contains(watch.axis) {
                self.rests[usize::from(watch.axis)] = outcome.stick.get(watch.axis);
            }
        }
    }

    /// The rest of each stick during the student's turn; `None` where it is not known yet.
    pub(crate) fn rests(&self) -> &[Option<Deflection>; N] {
        &self.rests
    }
}

/// Whether the student has none of these axes, and the output of each one with `Snap` is the instructor's stick.
fn is_the_instructors<const N: usize>(axes: AxisSet, snap: AxisSet, frame: &Frame<N>, outcome: &Outcome<N>) -> bool {
    !axes.meets(outcome.pilot.student()) && (axes & snap).iter().all(|axis| outcome.output.get(axis) == frame.get(axis))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::{Lesson, policy};
    use handback::{Cause, Pilot};

    fn spread(lesson: &Lesson) -> (Option<u64>, Option<u64>, u64) {
        let frames = &lesson.tally.latency.frames;
        (frames.min(), frames.max(), frames.count())
    }

    /// Given a stick that moves, when the output follows in the same frame, then the latency is 0 frames.
    #[test]
    fn an_output_that_follows_in_the_same_frame_has_no_latency() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 100);
        lesson.stick(0, 3).take_over_at(120, Cause::Stick(0));
        assert_eq!(spread(&lesson), (Some(0), Some(0), 1));
    }

    /// Given a stick that moves, when the output stays the student's for three frames, then the latency is 3 frames.
    #[test]
    fn an_output_that_follows_three_frames_later_has_latency_3() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 100);
        lesson.stick(0, 3).fly(120, 160).take_over_at(180, Cause::Stick(0));
        assert_eq!(spread(&lesson), (Some(3), Some(3), 1));
    }

    #[test]
    fn saying_that_the_instructor_flies_is_not_enough() {
        // Given an engine that announces the takeover at once but keeps the student's stick as output for two frames.
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 100);
        lesson.stick(0, 3).output_lags = true;
        lesson.take_over_at(120, Cause::Stick(0)).fly(140, 140);
        lesson.output_lags = false;
        lesson.fly(160, 160);
        assert_eq!(spread(&lesson), (Some(2), Some(2), 1));
    }

    /// Given a throttle that waits for its stick, when the student no longer has it, then it counts as the
    /// instructor's; an aileron, which snaps, counts only when its output follows.
    #[test]
    fn a_throttle_that_waits_for_pickup_is_no_latency() {
        // Given a takeover in which aileron and elevator follow at once, and the output of the throttle is kept
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 100);
        lesson.stick(0, 3).pickup = AxisSet::of(&[2]);
        lesson.take_over_at(120, Cause::Stick(0));
        assert_eq!(spread(&lesson), (Some(0), Some(0), 1));
        // When the output of the aileron, which has `Snap`, is kept too, then that is a latency.
        lesson.stick(0, 0).pickup = AxisSet::EMPTY;
        lesson.hand_back_at(500).fly(520, 600);
        lesson.stick(0, 3).pickup = AxisSet::of(&[0, 2]);
        lesson.take_over_at(620, Cause::Stick(0)).fly(640, 640);
        lesson.pickup = AxisSet::of(&[2]);
        lesson.fly(660, 660);
        assert_eq!(spread(&lesson), (Some(0), Some(2), 2));
    }

    #[test]
    fn confirm_of_three_shows_as_two_frames() {
        let mut axes = policy();
        axes.axes[0].confirm = 3;
        let mut lesson = Lesson::under(axes);
        lesson.hand_back_at(0).fly(20, 100);
        lesson.stick(0, 3).fly(120, 140).take_over_at(160, Cause::Stick(0));
        assert_eq!(spread(&lesson), (Some(2), Some(2), 1));
    }

    #[test]
    fn exactly_engage_is_not_yet_a_movement() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).stick(0, 2).fly(20, 200);
        assert_eq!(spread(&lesson), (None, None, 0));
    }

    /// Given a stick that moves for fewer frames than `confirm`, when it is back, then no takeover was due; a longer
    /// movement without a takeover is unanswered.
    #[test]
    fn a_movement_shorter_than_confirm_needs_no_answer() {
        let mut axes = policy();
        axes.axes[0].confirm = 2;
        let mut lesson = Lesson::under(axes);
        lesson.hand_back_at(0).stick(0, 3).fly(20, 20).stick(0, 0).fly(40, 40);
        assert_eq!((lesson.tally.latency.brushes, lesson.tally.latency.unanswered), (1, 0));
        lesson.stick(0, 3).fly(60, 80).stick(0, 0).fly(100, 100);
        assert_eq!((lesson.tally.latency.brushes, lesson.tally.latency.unanswered), (1, 1));
    }

    #[test]
    fn a_stick_moved_while_the_instructor_flies_measures_nothing() {
        let mut lesson = Lesson::new();
        lesson.stick(0, 40).fly(0, 200).stick(0, 0).fly(220, 240);
        assert_eq!((spread(&lesson).2, lesson.tally.latency.brushes), (0, 0));
    }

    /// Given a throttle that was left somewhere when the student got the craft, when it moves, then its movement is
    /// measured from there.
    #[test]
    fn the_throttle_is_measured_from_where_it_was_left() {
        let mut lesson = Lesson::new();
        lesson.stick(2, 30).hand_back_at(0).fly(20, 100);
        lesson.stick(2, 38).fly(120, 140); // 8 points is exactly `engage`
        assert_eq!(spread(&lesson).2, 0);
        lesson.stick(2, 39).take_over_at(160, Cause::Stick(2));
        assert_eq!(spread(&lesson), (Some(0), Some(0), 1));
    }

    /// Given scope axis, when an axis takes over and the student keeps the others, then its output is the one that is
    /// measured.
    #[test]
    fn in_scope_axis_one_axis_is_followed_alone() {
        let mut axes = policy();
        axes.scope = Scope::Axis;
        let mut lesson = Lesson::under(axes);
        lesson.hand_back_at(0).fly(20, 100).stick(1, -5);
        lesson.change(120, Pilot::Student(AxisSet::of(&[0, 2])), Cause::Stick(1));
        assert_eq!(spread(&lesson), (Some(0), Some(0), 1));
    }
}
