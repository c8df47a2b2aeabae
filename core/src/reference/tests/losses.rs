//! The student link, the instructor's signal, the clock (L, I, K).

use super::*;
use crate::{Cause, Event, Link, Reception, Waiting};

fn event<const N: usize>(outcome: &Outcome<N>, from: Pilot, to: Pilot, cause: Cause) -> bool {
    outcome.event == Some(Event { at: outcome.at, from, to, cause })
}

/// Given no student's frames, when their age is `timeout`, then the last frame stands in. One microsecond later the
/// link is lost.
#[test]
fn up_to_timeout_the_students_last_frame_stands_in_l1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    lesson.student = None;
    let _ = lesson.run(4);
    let at = lesson.step();
    assert_eq!((at.pilot, at.output, at.link), (all::<2>(), frame([5000, 0]), Link::Good));
    let past = lesson.after(1);
    assert_eq!((past.output, past.link), (frame([0, 0]), Link::Lost));
    assert!(event(&past, all::<2>(), Pilot::Instructor, Cause::LinkLost));
}

/// Given a gap longer than `timeout`, when the step that notices it brings a frame, then the link is lost in it.
#[test]
fn a_step_that_notices_a_gap_loses_the_link_l1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    lesson.student = None;
    let _ = lesson.run(5);
    lesson.student = Some([6000, 0]);
    let outcome = lesson.after(1);
    assert_eq!((outcome.link, outcome.output), (Link::Qualifying, frame([0, 0])));
}

/// Given a student's frame that is bad on a shared axis, when it comes, then it counts as no frame. Axes that are not
/// shared do not matter.
#[test]
fn a_bad_students_frame_counts_as_none_l1() {
    let policy = Policy { shared: AxisSet::of(&[0]), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 32767]);
    lesson.student = Some([-24577, 0]);
    let bad = lesson.step();
    assert_eq!((bad.student, bad.output), (Reception::Bad, frame([5000, 0])));
    assert_eq!(lesson.run(5).link, Link::Lost);
}

/// Given student's frames that repeat, when they did so for `frozen_after`, then the last frame stands. One microsecond
/// later the link is lost. The same frame does not start qualifying.
#[test]
fn a_link_that_repeats_its_frame_is_lost_past_frozen_after_l4() {
    let frozen_after = Some(Duration::from_millis(900));
    let policy = Policy { frozen_after, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    lesson.student = Some([5001, 0]);
    let _ = lesson.run(91);
    let past = lesson.after(1);
    assert!(event(&past, all::<2>(), Pilot::Instructor, Cause::LinkFrozen));
    assert_eq!(lesson.run(20).link, Link::Lost);
    lesson.student = Some([5001, 1]);
    assert_eq!(lesson.step().link, Link::Qualifying);
}

#[test]
fn a_lost_link_is_good_once_it_went_on_for_requalify_l2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.student = None;
    assert_eq!(lesson.run(3).link, Link::Lost, "it starts lost");
    lesson.student = Some([0, 0]);
    assert_eq!(lesson.step().link, Link::Qualifying);
    let _ = lesson.run(6);
    assert_eq!(lesson.after(10 * MS - 1).link, Link::Qualifying);
    lesson.student = None;
    assert_eq!(lesson.after(1).link, Link::Good, "in any step, with a frame or without");
}

#[test]
fn a_loss_while_it_qualifies_begins_anew_l2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(3);
    assert_eq!(lesson.after(50 * MS + 1).link, Link::Qualifying);
    assert_eq!(lesson.run(6).link, Link::Qualifying);
    assert_eq!(lesson.step().link, Link::Good);
}

#[test]
fn a_good_link_that_is_lost_must_be_seen_off_first_or_not_l3_s2() {
    for (off_first_after_loss, waiting) in [(true, Some(Waiting::SwitchOffFirst)), (false, None)] {
        let policy = Policy { off_first_after_loss, ..sprung() }.check().unwrap();
        let mut lesson = Lesson::flown(&policy, [0, 0]);
        lesson.student = None;
        let _ = lesson.run(6);
        lesson.student = Some([0, 0]);
        assert_eq!(lesson.run(50).waiting, waiting);
    }
}

/// Given `requalify` 0, when a step loses the link and finds it good again, then it counts as lost in that step.
#[test]
fn a_link_lost_and_good_in_one_step_counts_as_lost_l3() {
    let policy =
        Policy { requalify: Duration::from_ticks(0), off_first_after_loss: false, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    lesson.student = None;
    let _ = lesson.run(5);
    lesson.student = Some([5000, 0]);
    let outcome = lesson.after(1);
    assert!(event(&outcome, all::<2>(), Pilot::Instructor, Cause::LinkLost));
    assert_eq!(outcome.link, Link::Good);
    assert_eq!(outcome.waiting, Some(Waiting::StudentLink { left: Duration::from_ticks(0) }));
    assert_eq!(lesson.run(10).pilot, Pilot::Instructor, "the dwell begins in the step after");
    assert_eq!(lesson.step().pilot, all::<2>());
}

/// Given no instructor's frames, when their age grows, then the last frame stands in up to `timeout` and is output up
/// to `failsafe_after`. Past that nobody flies.
#[test]
fn up_to_timeout_the_instructors_last_frame_stands_in_i1_i2() {
    let mut policy = sprung();
    policy.axes[1].failsafe = Deflection::from_bits(-8192);
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    let _ = lesson.move_to([21, 22]);
    lesson.instructor = None;
    let stands_in = lesson.run(5);
    assert_eq!((stands_in.pilot, stands_in.output), (all::<2>(), frame([5000, 6000])));
    let lost = lesson.after(1);
    assert!(event(&lost, all::<2>(), Pilot::Instructor, Cause::InstructorLost));
    assert_eq!((lost.output, lost.instructor_lost), (frame([21, 22]), true));
    let _ = lesson.run(14);
    let at_limit = lesson.after(10 * MS - 1);
    assert_eq!((at_limit.pilot, at_limit.output), (Pilot::Instructor, frame([21, 22])), "200 ms");
    let nobody = lesson.after(1);
    assert!(event(&nobody, Pilot::Instructor, Pilot::Nobody, Cause::InstructorLost));
    assert_eq!((nobody.output, nobody.stick), (frame([0, -8192]), frame([21, 22])));
    let back = lesson.move_to([23, 24]);
    assert!(event(&back, Pilot::Nobody, Pilot::Instructor, Cause::InstructorBack));
    assert_eq!((back.output, back.waiting), (frame([23, 24]), Some(Waiting::SwitchOffFirst)));
}

/// Given a gap, when the step that notices it brings a frame, then the signal is lost and back in that step.
#[test]
fn a_step_that_notices_a_gap_loses_and_finds_the_signal_i1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    lesson.instructor = None;
    let _ = lesson.run(5);
    lesson.instructor = Some([0, 0]);
    let outcome = lesson.after(1);
    assert!(event(&outcome, all::<2>(), Pilot::Instructor, Cause::InstructorLost));
    assert_eq!((outcome.instructor_lost, outcome.waiting), (false, Some(Waiting::SwitchOffFirst)));
}

/// Given a signal that has long been lost, when a step brings it back, then T4 asks for the craft in that step too.
#[test]
fn a_step_that_finds_a_lost_signal_hands_nothing_over_t4_h1() {
    let policy = Policy { dwell: Duration::from_ticks(0), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.instructor = None;
    let _ = lesson.run(10);
    lesson.on = false;
    let _ = lesson.run(3);
    lesson.on = true;
    let _ = lesson.run(3); // seen off first and settled while the signal was lost
    let back = lesson.move_to([0, 0]);
    assert_eq!((back.pilot, back.event), (Pilot::Instructor, None), "lost at one point of this step");
    assert_eq!(lesson.step().pilot, all::<2>());
}

#[test]
fn a_late_step_is_more_than_late_step_and_takes_both_signals_k1() {
    let policy = Policy { late_step: Duration::from_millis(40), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    assert_eq!(lesson.after(40 * MS).pilot, all::<2>());
    let late_step = lesson.after(40 * MS + 1);
    assert!(event(&late_step, all::<2>(), Pilot::Instructor, Cause::LateStep));
    assert_eq!((late_step.instructor_lost, late_step.link, late_step.output), (false, Link::Qualifying, frame([0, 0])));
    assert_eq!(late_step.waiting, Some(Waiting::SwitchOffFirst));
}

/// Given a late step without an instructor's frame, when it comes, then nobody flies and the cause is the late step.
/// With the next frame the cause is instructor back.
#[test]
fn in_a_late_step_without_a_frame_nobody_flies_k1_i2() {
    let policy = Policy { late_step: Duration::from_millis(40), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    lesson.instructor = None;
    let late_step = lesson.after(40 * MS + 1);
    assert!(event(&late_step, all::<2>(), Pilot::Nobody, Cause::LateStep));
    lesson.instructor = Some([0, 0]);
    assert!(event(&lesson.step(), Pilot::Nobody, Pilot::Instructor, Cause::InstructorBack));
}

/// Given an instant that runs backwards, when the step comes, then it is a late step. A wrap is none.
#[test]
fn a_clock_that_runs_backwards_makes_a_late_step_k1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]); // wraps on the way
    let backwards = lesson.after(u32::MAX);
    assert!(event(&backwards, all::<2>(), Pilot::Instructor, Cause::LateStep));
}
