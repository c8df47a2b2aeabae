//! The clock, the signals and the switch: K1, L, I, S.

use handback::{Cause, Event, Frame, Link, Outcome, Pilot, Reception};
use handback_host_tests::{lesson, lesson_with, ms, points, sprung, with};

use crate::{names, student_has_all, student_may_not};

/// Given a lesson that has just begun, when the student is said to have the craft, then S2 is named.
/// Rules: S1, S2
#[test]
fn a_student_at_the_start_is_named() {
    student_may_not(lesson(), &["S2", "L1"]);
    student_may_not(lesson().step(), &["S2", "L2"]);
}

/// Given no frame yet, when somebody is said to fly, then I2 is named.
/// Rules: S1, I2
#[test]
fn a_pilot_before_the_first_frame_is_named() {
    let broken = lesson().instructor_frames(false).broken_by(|outcome| outcome.pilot = Pilot::Instructor);
    names(&broken, &["I2"]);
}

/// Given a switch that was on at the loss of the instructor's signal and stays on, when the student is said to have the
/// craft again, then S2 is named.
/// Rules: S2
#[test]
fn a_switch_that_was_not_seen_off_first_is_named() {
    let back = lesson().student_flying().instructor_frames(false).pass(ms(200)).instructor_frames(true).pass(ms(500));
    student_may_not(back, &["S2"]);
}

/// Given a switch that is on for less than `settle`, or off, when the student is said to have the craft, then S3 is named.
/// Rules: S3
#[test]
fn a_switch_that_is_off_or_unsettled_is_named() {
    student_may_not(lesson().student_flying().switch_off(), &["S3"]);
    let nothing_to_wait_for = with!(sprung(), dwell: ms(0), requalify: ms(0));
    student_may_not(lesson_with(nothing_to_wait_for).step().pass(ms(100)).switch_on().step(), &["S3"]);
}

/// Given a step that comes late, when the student is said to keep the craft or the step to be in time, then K1 is named.
/// Rules: K1
#[test]
fn a_late_step_that_takes_nothing_is_named() {
    names(&lesson().student_flying().broken_after(ms(251), student_has_all), &["K1", "T4"]);
    names(&lesson().student_flying().broken_after(ms(251), |outcome| outcome.late_step = false), &["K1"]);
    names(&lesson().student_flying().broken_after(ms(250), |outcome| outcome.late_step = true), &["K1"]);
}

/// Given no student's frames for longer than `timeout`, when the student is said to keep the craft, or the link to be good,
/// then L1 and L3 are named.
/// Rules: L1, L3
#[test]
fn a_lost_link_that_takes_nothing_is_named() {
    let silent = || lesson().student_flying().student_frames(false).pass(ms(140));
    student_may_not(silent(), &["L1", "L3"]);
    names(&silent().broken_by(|outcome| outcome.link = Link::Good), &["L1"]);
}

/// Given a student's frame that repeats for longer than `frozen_after`, when the student is said to keep the craft, the link to
/// be good, or lost by its age, then L4 or A1 is named; so is a link that is said to be frozen too early.
/// Rules: L4, L3, A1
#[test]
fn a_frozen_link_that_takes_nothing_is_named() {
    let policy = with!(sprung::<4>(), frozen_after: Some(ms(3000)));
    let still = || lesson_with(policy).student_flying().student(0, points(30)).step().pass(ms(3000));
    student_may_not(still(), &["L4", "L3", "T4"]);
    names(&still().broken_by(|outcome| outcome.link = Link::Good), &["L4"]);
    names(&still().broken_by(|outcome| outcome.link = Link::Qualifying), &["L4"]);
    let another_cause = |outcome: &mut Outcome<4>| {
        outcome.event = outcome.event.map(|event| Event { cause: Cause::LinkLost, ..event });
    };
    names(&still().broken_by(another_cause), &["A1"]);
    let moves = still().student(0, points(31));
    names(&moves.broken_by(|outcome| outcome.link = Link::Lost), &["L2"]);
}

/// Given student's axes that show a value older than the last good frame, then L1 is named.
/// Rules: L1
#[test]
fn an_older_value_of_the_student_is_named() {
    let moved = lesson().student_flying().student(0, points(30)).step().student(0, points(31));
    let old = moved.outcome().output;
    names(&moved.broken_by(|outcome| outcome.output = old), &["L1"]);
}

/// Given a link that has gone on for less than `requalify`, when it is said to be good, then L2 is named.
/// Rules: L2
#[test]
fn a_link_that_is_good_too_early_is_named() {
    names(&lesson().step().pass(ms(980)).student_frames(true).broken_after(ms(19), |o| o.link = Link::Good), &["L2"]);
    names(&lesson().student_flying().broken_by(|o| o.link = Link::Qualifying), &["L2"]);
}

/// Given no instructor's frame for longer than `timeout`, when the student is said to keep the craft, or the signal to be
/// there, then I1 is named; so are sticks that are not those of the last good frame.
/// Rules: I1
#[test]
fn a_lost_instructor_that_takes_nothing_is_named() {
    let silent = || lesson().student_flying().instructor_frames(false).pass(ms(140));
    student_may_not(silent(), &["I1", "I2"]);
    names(&silent().broken_by(|outcome| outcome.instructor_lost = false), &["I1"]);
    names(&lesson().step().roll(7).broken_by(|outcome| outcome.stick = Frame::CENTRE), &["I1"]);
    names(&lesson().step().broken_by(|outcome| outcome.instructor = Reception::Nothing), &["I1"]);
}

/// Given no instructor's frame for longer than `failsafe_after`, when somebody is said to fly, or the output is not the
/// failsafe frame, then I2 is named; so is nobody where the signal is there.
/// Rules: I2
#[test]
fn a_pilot_without_an_instructor_is_named() {
    let gone = || lesson().student_flying().roll(1).step().instructor_frames(false).pass(ms(990));
    names(&gone().broken_after(ms(30), |outcome| outcome.pilot = Pilot::Instructor), &["I2"]);
    names(&gone().broken_after(ms(30), student_has_all), &["I2"]);
    names(&gone().broken_after(ms(30), |outcome| outcome.output = outcome.stick), &["I2"]);
    names(&gone().broken_after(ms(10), |outcome| outcome.pilot = Pilot::Nobody), &["I2"]);
}
