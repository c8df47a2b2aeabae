//! What the student has, and what comes out: T2, T4 to T7, H, N1.

use handback::{AxisSet, Deflection, Frame, Latches, Outcome, Pilot, Policy, Scope};
use handback_host_tests::{Lesson, around, axes, lesson, lesson_with, ms, parked, points, sprung, with};

use crate::{ALL, instructor_has_all, names, student_has_all, student_may_not};

/// Given a stick that takes over, when the student is said to have the craft one step more, then T2 is named.
/// Rules: T2, T5
#[test]
fn a_takeover_one_step_late_is_named() {
    student_may_not(lesson().student_flying().roll(3), &["T2", "T5"]);
}

/// Given a bad instructor's frame, when the student is said to keep the craft, then T4 is named; so is a craft that is
/// taken for no reason.
/// Rules: T4
#[test]
fn a_set_that_is_not_emptied_is_named() {
    let bad = lesson().student_flying().instructor(3, Deflection::MAX);
    student_may_not(bad, &["T4"]);
    names(&lesson().student_flying().broken_by(instructor_has_all), &["T4"]);
    names(&lesson().step().broken_by(|outcome| outcome.pilot = Pilot::Student(AxisSet::EMPTY)), &["T4"]);
}

/// Given scope `Axis` and a held axis, when the student is said to have it, or to lose the others, then T5 is named; so is
/// a held axis in scope `Craft` that leaves the others with the student.
/// Rules: T5
#[test]
fn a_wrong_scope_is_named() {
    let single = || lesson_with(with!(sprung(), scope: Scope::Axis)).student_flying().roll(3).step();
    student_may_not(single(), &["T5"]);
    names(&single().broken_by(instructor_has_all), &["T5"]);
    let others = |outcome: &mut Outcome<4>| outcome.pilot = Pilot::Student(axes(&[1, 2, 3]));
    names(&lesson().student_flying().roll(3).broken_by(others), &["T5"]);
}

/// A student who flies axis 0 at 50 points, which waits to be picked up when it is taken.
fn picked_up() -> Lesson<4> {
    let mut policy = sprung();
    policy.axes[0] = with!(parked(points(0)), engage: points(2), release: points(1));
    lesson_with(policy).student(0, points(50)).student_flying().student_has_all().switch_off()
}

/// Given an axis that is to wait for its pickup, when it does not, moves, or waits for too long, then T6 is named; so is an
/// axis that snaps and is not at the stick.
/// Rules: T6
#[test]
fn a_wrong_pickup_is_named() {
    let drops = |outcome: &mut Outcome<4>| outcome.pickup = AxisSet::EMPTY;
    names(&picked_up().broken_by(drops), &["T6"]);
    let moves = |outcome: &mut Outcome<4>| outcome.output = Frame::new([points(49), points(0), points(0), points(0)]);
    names(&picked_up().step().broken_by(moves), &["T6"]);
    let waits = |outcome: &mut Outcome<4>| outcome.pickup = axes(&[0]);
    names(&picked_up().step().pass(ms(1980)).broken_by(waits), &["T6"]);
    let stays = lesson().student(0, points(50)).student_flying();
    let before = stays.outcome().output;
    names(&stays.switch_off().broken_by(|outcome| outcome.output = before), &["T6"]);
}

/// Given instructor now, when the student is said to keep the craft, or to get it back while the latch is on, then T7 and
/// H2 are named.
/// Rules: T7, H2
#[test]
fn instructor_now_that_takes_nothing_is_named() {
    student_may_not(lesson().student_flying().instructor_now(true), &["T7"]);
    let pressed = lesson().student_flying().instructor_now(true).step().instructor_now(false).pass(ms(500));
    student_may_not(pressed, &["H2"]);
}

/// Given a dwell that is not over, when the student is said to get the craft, then H1 is named; so is a student who does
/// not get it when it is over, who gets it without a frame, and who gets what is not shared.
/// Rules: H1
#[test]
fn a_wrong_handing_back_is_named() {
    let touched = || lesson().student_flying().roll(3).step().roll(0).step();
    student_may_not(touched().pass(ms(260)), &["H1"]);
    let over = || touched().pass(ms(300));
    names(&over().broken_by(instructor_has_all), &["H1"]);
    student_may_not(over().instructor_frames(false), &["H1"]);
    let two: Policy<4> = with!(sprung(), shared: axes(&[0, 1]));
    student_may_not(lesson_with(two).student_flying(), &["H1", "H5"]);
}

/// Given each kind of latch, when the student is said to get the craft back, then H2 is named.
/// Rules: H2
#[test]
fn a_latch_that_keeps_nothing_is_named() {
    let mut kept: Policy<4> = sprung();
    kept.axes[0].keep = true;
    let lasted = with!(sprung(), latches: Latches { lasted: Some(ms(100)), beyond: None });
    let beyond = with!(sprung(), latches: Latches { lasted: None, beyond: Some(points(10)) });
    for policy in [kept, lasted, beyond] {
        let let_go = lesson_with(policy).student_flying().roll(11).pass(ms(200)).roll(0).pass(ms(500));
        student_may_not(let_go, &["H2"]);
    }
}

/// Given a closed gate, when the student is said to get the craft, then H3 is named.
/// Rules: H3
#[test]
fn a_gate_that_holds_nothing_back_is_named() {
    let mut gated: Policy<4> = sprung();
    gated.axes[0].window = Some(points(5));
    student_may_not(lesson_with(gated).student(0, points(6)).step().off_first_and_on().pass(ms(1500)), &["H3"]);
}

/// Given an axis that has just joined, when its output jumps, leaves the way to the student's value, is one unit beside
/// the line, or is still on the way after `fade`, then H4 is named.
/// Rules: H4
#[test]
fn a_wrong_fade_is_named() {
    let joined = || lesson().student(0, points(50)).off_first_and_on().student_just_got_it();
    let puts = |at: i16| move |outcome: &mut Outcome<4>| *outcome.output.axes_mut() = [at, 0, 0, 0].map(points);
    names(&joined().broken_by(puts(-1)), &["H4"]);
    names(&joined().broken_by(puts(51)), &["H4"]);
    let half = || joined().pass(ms(80));
    assert_eq!(half().step().output(0), points(25));
    let beside = |outcome: &mut Outcome<4>| outcome.output.axes_mut()[0] = around(points(25), 1);
    names(&half().broken_by(beside), &["H4"]);
    names(&joined().pass(ms(180)).broken_by(puts(49)), &["H4", "L1"]);
    let before_joining = || lesson().student(0, points(50)).off_first_and_on().pass(ms(980));
    let last = before_joining().instructor_has_the_craft();
    names(&last.broken_by(|outcome| (student_has_all(outcome), puts(25)(outcome)).0), &["H4"]);
}

/// Given an axis that is not shared, when its output is not the instructor's stick, then H5 is named.
/// Rules: H5
#[test]
fn an_unshared_axis_that_the_student_moves_is_named() {
    let three: Policy<4> = with!(sprung(), shared: axes(&[0, 1, 2]));
    let flown = lesson_with(three).student_flying();
    names(&flown.broken_by(|o| *o.output.axes_mut() = [0, 0, 0, 5].map(points)), &["H5"]);
}

/// Given an output beyond `plausible`, then N1 is named.
/// Rules: N1
#[test]
fn an_output_out_of_range_is_named() {
    names(&lesson().step().broken_by(|o| *o.output.axes_mut() = [0, 0, 0, 151].map(points)), &["N1"]);
}

/// Given a lesson without a fault, when nothing is changed, then the monitor has nothing to say: `Lesson` fails otherwise.
/// Rules: T2, H1
#[test]
fn a_right_lesson_breaks_nothing() {
    lesson().student_flying().roll(3).step().roll(0).pass(ms(500)).student_has(ALL);
}
