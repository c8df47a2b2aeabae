//! Common practice of the trade. No source.

use handback::{Cause, Deflection, Policy};
use handback_host_tests::{Lesson, around, bare, lesson, lesson_with, ms, points, sprung, unsprung};

/// Rules: T1, T2
#[test]
fn given_a_sprung_stick_when_it_is_2_points_either_side_of_its_rest_then_it_is_the_threshold() {
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

/// Rules: T1, T2, R2
#[test]
fn given_an_unsprung_stick_when_it_is_8_points_either_side_of_where_it_was_left_then_it_is_the_threshold() {
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

/// Rules: T2, T5
#[test]
fn given_the_student_at_full_opposite_deflection_when_the_instructor_moves_then_the_student_is_overridden() {
    // Common practice, no source.
    for side in [1, -1] {
        let flying = lesson().student_sticks([points(-100 * side); 4]).student_flying();
        let taken = flying.outputs(0, points(-100 * side)).roll(3 * side).step();
        let full = taken.because(Cause::Stick(0)).outputs(0, points(3 * side)).outputs(1, Deflection::CENTRE);
        full.roll(100 * side).step().outputs(0, points(100 * side));
    }
}

/// A slow sweep from one side to the other, a point in each frame, and how often who flies changed in it.
fn sweep(policy: Policy<1>) -> (Lesson<1>, usize) {
    let mut lesson = lesson_with(policy).student_flying().roll(20).step().because(Cause::Stick(0));
    let before = lesson.events().len();
    for at in (-20..20).rev() {
        lesson = lesson.roll(at).step();
    }
    let changes = lesson.events().len() - before;
    (lesson, changes)
}

/// Rules: H1, T3
#[test]
fn given_a_stick_swept_through_its_centre_when_there_is_no_dwell_then_control_toggles_and_with_one_it_does_not() {
    // Common practice, no source.
    let (_, toggles) = sweep(bare());
    assert_eq!(toggles, 2, "to the student near the centre, and back to the instructor on the other side");
    let (lesson, changes) = sweep(Policy { dwell: sprung::<1>().dwell, ..bare() });
    assert_eq!(changes, 0);
    lesson.instructor_has_the_craft().holds(&[0]);
}

/// Rules: A1, S1
#[test]
fn given_a_lesson_when_it_starts_and_goes_on_then_each_change_is_announced_once_and_the_start_is_not() {
    // Common practice, no source.
    let started = lesson().pass(ms(2000)).has_announced(0);
    let flying = started.student_flying().pass(ms(2000)).has_announced(1);
    flying.roll(5).pass(ms(2000)).has_announced(2).roll(0).pass(ms(2000)).has_announced(3);
}
