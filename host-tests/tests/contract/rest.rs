//! R: where a stick rests, given or learnt.

use handback::{AxisRule, Deflection, Duration, Latches, Policy, Rest, Scope, Waiting};
use handback_host_tests::{Lesson, around, axes, bare, beyond, lesson_with, ms, points, reached, units, us, within};

/// An axis that rests where it was left for 500 ms, and latches nothing; engage 8, release 4.
fn left() -> AxisRule {
    AxisRule { keep: false, ..AxisRule::unsprung(points(-100)) }
}

/// One sprung axis and one that rests where it was left.
fn mixed() -> Policy<2> {
    Policy { axes: [AxisRule::sprung(), left()], ..bare() }
}

/// The stick of axis 1 was left at `at` and is free.
fn left_at(policy: Policy<2>, at: Deflection) -> Lesson<2> {
    lesson_with(policy).instructor(1, at).step().pass(ms(500)).holds(&[])
}

/// Rules: R1, T1
#[test]
fn given_a_fixed_rest_when_the_stick_stays_elsewhere_for_ever_then_the_rest_does_not_follow() {
    lesson_with(bare::<1>()).roll(3).step().pass(ms(60_000)).holds(&[0]).roll(0).step().holds(&[]);
}

/// Rules: R1
#[test]
fn given_a_fixed_rest_off_centre_when_the_stick_is_there_then_the_axis_is_free_from_the_first_frame_on() {
    let mut policy = bare::<1>();
    policy.axes[0].rest = Rest::At(points(-100));
    let parked = lesson_with(policy).instructor(0, points(-100)).step().holds(&[]);
    parked.instructor(0, points(0)).step().holds(&[0]);
}

/// Rules: R2
#[test]
fn given_an_axis_that_rests_where_left_when_the_engine_is_new_then_it_is_held_until_its_first_stay_is_over() {
    let new = lesson_with(mixed()).instructor(1, points(-60)).instructor_frames(false).steps(5).holds(&[1]);
    for (stayed, free) in reached(ms(500)) {
        let first_frame = new.clone().instructor_frames(true).step().holds(&[1]);
        first_frame.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Rules: R2
#[test]
fn given_an_axis_that_has_come_to_rest_when_it_moves_then_engage_counts_from_where_it_was_left() {
    for (stick, held) in beyond(points(-60), points(8)) {
        left_at(mixed(), points(-60)).instructor(1, stick).step().holds(if held { &[1] } else { &[] });
    }
}

/// Rules: R2
#[test]
fn given_a_stay_when_the_stick_moves_within_release_of_its_first_position_then_the_stay_goes_on_and_else_begins_anew() {
    for (stick, goes_on) in within(points(20), points(4)) {
        let held = lesson_with(mixed()).instructor(1, points(20)).step().pass(ms(300));
        // 300 ms in, the stick moves. Within release the stay is over at 500 ms; else 500 ms after the move.
        let moved = held.instructor(1, stick).step().pass(ms(180));
        let moved = moved.holds(if goes_on { &[] } else { &[1] });
        if !goes_on {
            moved.pass(us(319_999)).holds(&[1]).step_of(us(1)).holds(&[]);
        }
    }
}

/// Rules: R2
#[test]
fn given_a_stay_when_the_stick_creeps_then_it_is_measured_from_the_first_position_and_not_from_the_last() {
    let mut lesson = lesson_with(mixed()).instructor(1, points(20)).step();
    for creep in 1..=40 {
        // A point every 60 ms never leaves the last position by more than a point, and the first one every 300 ms.
        lesson = lesson.instructor(1, points(20 + creep)).steps(3).holds(&[1]);
    }
}

/// Rules: R2
#[test]
fn given_a_stay_that_is_over_when_the_axis_is_free_then_its_first_position_is_the_rest() {
    let wandered = lesson_with(mixed()).instructor(1, points(20)).step().pass(ms(300)).instructor(1, points(24));
    let free = wandered.pass(ms(200)).holds(&[]);
    free.clone().instructor(1, points(28)).step().holds(&[]).instructor(1, around(points(28), 1)).step().holds(&[1]);
    free.instructor(1, points(12)).step().holds(&[]);
}

/// Rules: R2
#[test]
fn given_an_axis_that_becomes_held_when_it_then_stays_still_then_the_stay_counts_from_that_very_step() {
    for (stayed, free) in reached(ms(500)) {
        let held = left_at(mixed(), points(0)).instructor(1, points(30)).step().holds(&[1]);
        held.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Rules: R2, T3
#[test]
fn given_a_held_axis_that_rests_where_left_when_it_passes_over_its_old_rest_then_it_stays_held() {
    let held = left_at(mixed(), points(0)).instructor(1, points(30)).step().holds(&[1]);
    held.instructor(1, points(0)).step().holds(&[1]).instructor(1, points(-30)).step().holds(&[1]);
}

/// Rules: R2, T3
#[test]
fn given_still_0_when_an_axis_becomes_held_then_it_is_free_one_good_frame_later_and_not_in_the_same_step() {
    let mut policy = mixed();
    policy.axes[1].rest = Rest::WhereLeft { still: ms(0) };
    let free = lesson_with(policy).steps(2).holds(&[]).instructor(1, points(30)).step().holds(&[1]);
    free.clone().step_without_instructor().holds(&[1]);
    free.step().holds(&[]);
}

/// Rules: R2
#[test]
fn given_still_0_when_a_stay_begins_in_a_step_in_which_the_axis_was_held_before_then_it_is_over_in_that_step() {
    let mut policy = mixed();
    policy.axes[1].rest = Rest::WhereLeft { still: ms(0) };
    // Held from the construction on, and asked with the first good frame.
    lesson_with(policy).instructor_frames(false).step().holds(&[1]).instructor_frames(true).step().holds(&[]);
    // Held by the step before; the stick is still on its way, and its new stay is over as it begins.
    let held = lesson_with(policy).steps(2).instructor(1, points(30)).step().holds(&[1]);
    held.instructor(1, points(60)).step().holds(&[]).instructor(1, points(68)).step().holds(&[]);
}

/// Rules: R2
#[test]
fn given_an_axis_that_crept_within_engage_when_the_set_grows_then_its_rest_is_where_its_stick_is() {
    let crept = left_at(mixed(), points(0)).instructor(1, points(7)).step().holds(&[]);
    for (stick, held) in beyond(points(7), points(8)) {
        let flying = crept.clone().student_flying().instructor(1, stick).step();
        flying.holds(if held { &[1] } else { &[] });
    }
    // Without the growth the old rest counts.
    crept.instructor(1, points(9)).step().holds(&[1]);
}

/// Rules: R2
#[test]
fn given_a_sprung_axis_that_crept_when_the_set_grows_then_its_fixed_rest_stays() {
    left_at(mixed(), points(0)).instructor(0, points(2)).student_flying().instructor(0, points(3)).step().holds(&[0]);
}

/// Rules: H1, R2, T1
#[test]
fn given_a_stick_on_its_way_to_being_held_when_the_dwell_is_over_then_the_set_does_not_grow_over_it() {
    let mut policy = Policy { dwell: ms(100), ..mixed() };
    policy.axes[1].confirm = 3;
    // The dwell begins in the step in which the switch is seen on; it is over 5 steps later.
    let on = left_at(policy, points(0)).armed_and_on().step().steps(3);
    let last = on.clone().steps(2).student_has_all();
    let moving = on.instructor(1, points(10)).steps(2).holds(&[]).instructor_has_the_craft();
    moving.clone().step().holds(&[1]).instructor_has_the_craft(); // the third in a row
    // Back within the band, nothing is in the way any more; further out than engage from there takes the craft.
    let back = moving.instructor(1, points(8)).step().student_has_all();
    for flying in [last, back] {
        let _ = flying.instructor(1, points(-19)).steps(3).holds(&[1]).instructor_has_the_craft();
    }
}

/// Rules: R2, H1
#[test]
fn given_scope_axis_when_a_second_growth_comes_then_the_rests_of_the_free_axes_follow_again() {
    let policy = Policy { scope: Scope::Axis, ..mixed() };
    let flying = left_at(policy, points(0)).student_flying().roll(3).step().instructor(1, points(7)).step();
    let grown = flying.student_has(axes(&[1])).roll(0).steps(2).student_has_all();
    grown.clone().instructor(1, points(15)).step().holds(&[]);
    grown.instructor(1, around(points(15), 1)).step().holds(&[1]);
}

/// Rules: R2, H2
#[test]
fn given_an_axis_that_never_had_a_rest_when_it_is_far_out_then_the_latch_beyond_does_not_see_it() {
    let never =
        lesson_with(beyond_50(ms(60_000))).instructor(1, points(-100)).armed_and_on().pass(ms(2_000)).holds(&[1]);
    let taken = never.student_has(axes(&[0, 2])).roll(3).step().student_has(axes(&[2]));
    let _ = taken.roll(0).pass(ms(1_000)).student_has(axes(&[0, 2]));
}

/// Rules: R2, H2
#[test]
fn given_a_held_axis_when_the_set_grows_then_its_old_rest_is_what_beyond_goes_by() {
    let flying = lesson_with(beyond_50(ms(1_500))).pass(ms(2_000)).student_flying();
    let held = flying.instructor(1, points(20)).step().roll(3).step().roll(0).pass(ms(400));
    let grown = held.student_has(axes(&[0, 2])).holds(&[1]);
    // 60 points from the rest that it had, 40 from where it was when the set grew.
    let taken = grown.instructor(1, points(60)).step().roll(3).step().instructor_has_the_craft();
    let _ = taken.roll(0).pass(ms(400)).waits_for(Waiting::Latch);
}

/// Each axis for itself, latched beyond 50 points; axis 1 rests where it was left for so long.
fn beyond_50(still: Duration) -> Policy<3> {
    let left = AxisRule { rest: Rest::WhereLeft { still }, ..left() };
    Policy {
        scope: Scope::Axis,
        latches: Latches { lasted: None, beyond: Some(points(50)) },
        ..Policy::new([AxisRule::sprung(), left, AxisRule::sprung()])
    }
}

/// Rules: R3
#[test]
fn given_a_stay_that_is_long_enough_when_no_good_frame_comes_then_the_axis_is_free_only_with_the_next_one() {
    let almost = lesson_with(mixed()).instructor(1, points(5)).step().pass(ms(480)).holds(&[1]);
    almost.clone().step_without_instructor().holds(&[1]).step_without_instructor().holds(&[1]).step().holds(&[]);
    almost.step_with_bad_frame().holds(&[1]).step().holds(&[]);
}

/// Rules: R3, K1
#[test]
fn given_a_stay_when_a_step_is_late_then_it_begins_anew_with_that_steps_frame() {
    for (stayed, free) in reached(ms(500)) {
        let late_step = lesson_with(mixed()).step().pass(ms(400)).step_of(us(250_001)).holds(&[1]);
        late_step.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Rules: R3, I1
#[test]
fn given_a_stay_when_the_instructors_signal_is_lost_then_it_begins_anew_with_the_next_good_frame() {
    for (stayed, free) in reached(ms(500)) {
        let lost = lesson_with(mixed()).step().pass(ms(300)).instructor_frames(false).pass(ms(400)).holds(&[1]);
        let back = lost.instructor_frames(true).step().holds(&[1]);
        back.pass(stayed).holds(if free { &[] } else { &[1] });
    }
    // Lost and back in one step: that step's frame begins the stay.
    let back = lesson_with(mixed()).step().pass(ms(400)).step_of(us(150_001)).holds(&[1]);
    back.clone().pass(us(499_999)).holds(&[1]);
    back.pass(ms(500)).holds(&[]);
}

/// Rules: R3, T1, I1, K1
#[test]
fn given_a_row_when_a_step_is_late_or_the_signal_is_lost_then_it_begins_anew_with_the_next_good_frame() {
    for gap in [us(150_001), us(250_001), ms(60_000)] {
        let mut policy = mixed();
        policy.axes[0].confirm = 3;
        let row = lesson_with(policy).step().pass(ms(500)).holds(&[]).roll(3).steps(2).holds(&[]);
        let anew = row.clone().step_of(gap).holds(&[]).step().holds(&[]).step().holds(&[0]);
        drop(anew);
        row.step_of(us(150_000)).holds(&[0]); // not lost: the third in the row
    }
}

/// Rules: R3, R2
#[test]
fn given_an_axis_that_is_free_when_the_signal_is_lost_and_back_then_it_keeps_its_rest() {
    let free = left_at(mixed(), points(30)).instructor_frames(false).pass(ms(400)).holds(&[]);
    let back = free.instructor_frames(true).instructor(1, points(38)).step().holds(&[]);
    back.instructor(1, around(points(38), 1)).step().holds(&[1]);
}

/// Rules: R2, N1
#[test]
fn given_a_stay_at_one_stop_when_the_stick_goes_to_the_other_then_the_distance_does_not_wrap() {
    let policy = Policy { plausible: Deflection::MAX, ..mixed() };
    let there = lesson_with(policy).instructor(1, around(Deflection::MIN, 1)).step().pass(ms(480));
    there.instructor(1, Deflection::MAX).step().holds(&[1]).pass(ms(480)).holds(&[1]).step().holds(&[]);
}

/// Rules: R2
#[test]
fn given_a_unit_beyond_release_when_the_stay_begins_anew_then_its_new_first_position_counts() {
    let moved = lesson_with(mixed()).instructor(1, points(0)).step().instructor(1, around(points(4), 1)).step();
    // Back at the very first position: within release of the new one? 4 points and one unit off: no, so anew again.
    let back = moved.pass(ms(400)).instructor(1, units(0)).step();
    back.pass(us(499_999)).holds(&[1]).step_of(us(1)).holds(&[]);
}
