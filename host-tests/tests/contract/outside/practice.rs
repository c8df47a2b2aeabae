//! Common practice of the trade. No source.

use handback::{Cause, Deflection, Policy};
use handback_host_tests::{Lesson, around, bare, lesson, lesson_with, ms, points, sprung, unsprung, with};

/// Given a sprung stick, when it is 2 points on either side of its rest, then it is at the threshold.
/// Rules: T1, T2
#[test]
fn the_threshold_of_a_sprung_stick_is_2_points() {
    // Common practice, no source.
    for rest in [points(0), points(6)] {
        for side in [1, -1] {
            let mut policy = sprung::<2>();
            policy.axes[0].rest = handback::Rest::At(rest);
            let flying = lesson_with(policy).instructor(0, rest).student_flying();
            let at = around(rest, side * points(2).to_bits());
            flying.instructor(0, at).step().student_has_all().instructor(0, around(at, side)).step().holds(&[0]);
        }
    }
}

/// Given an unsprung stick, when it is 8 points on either side of where it was left, then it is at the threshold.
/// Rules: T1, T2, R2
#[test]
fn the_threshold_of_an_unsprung_stick_is_8_points() {
    // Common practice, no source.
    for left in [points(-100), points(-35)] {
        for side in [1, -1] {
            let mut policy = sprung::<2>();
            policy.axes[1] = unsprung();
            let flying = lesson_with(policy).instructor(1, left).pass(ms(700)).student_flying();
            let at = around(left, side * points(8).to_bits());
            flying.instructor(1, at).step().student_has_all().instructor(1, around(at, side)).step().holds(&[1]);
        }
    }
}

/// Given a student at full opposite deflection, when the instructor moves, then the student is overridden.
/// Rules: T2, T5
#[test]
fn the_instructor_overrides_full_opposite_deflection() {
    // Common practice, no source.
    for side in [1, -1] {
        let flying = lesson().student_sticks([points(-100 * side); 4]).student_flying();
        let taken = flying.outputs(0, points(-100 * side)).roll(3 * side).step();
        let full = taken.because(Cause::Stick(0)).outputs(0, points(3 * side)).outputs(1, Deflection::CENTRE);
        full.roll(100 * side).step().outputs(0, points(100 * side));
    }
}

/// Sweeps the stick slowly from one side to the other, one point in each frame. Also returns the number of changes of
/// the pilot.
fn sweep(policy: Policy<1>) -> (Lesson<1>, usize) {
    let mut lesson = lesson_with(policy).student_flying().roll(20).step().because(Cause::Stick(0));
    let before = lesson.events().len();
    for at in (-20..20).rev() {
        lesson = lesson.roll(at).step();
    }
    let changes = lesson.events().len() - before;
    (lesson, changes)
}

/// Given a stick swept through its centre, when there is no dwell, then control toggles. With a dwell it does not.
/// Rules: H1, T3
#[test]
fn only_a_dwell_stops_toggling_in_a_slow_sweep() {
    // Common practice, no source.
    let (_, toggles) = sweep(bare());
    assert_eq!(toggles, 2, "to the student near the centre, and back to the instructor on the other side");
    let (lesson, changes) = sweep(with!(bare(), dwell: sprung::<1>().dwell));
    assert_eq!(changes, 0);
    lesson.instructor_has_the_craft().holds(&[0]);
}

/// Given a lesson, when it starts and goes on, then each change is announced once and the start is not.
/// Rules: A1, S1
#[test]
fn each_change_is_announced_once_and_the_start_is_not() {
    // Common practice, no source.
    let started = lesson().pass(ms(2000)).has_announced(0);
    let flying = started.student_flying().pass(ms(2000)).has_announced(1);
    flying.roll(5).pass(ms(2000)).has_announced(2).roll(0).pass(ms(2000)).has_announced(3);
}
