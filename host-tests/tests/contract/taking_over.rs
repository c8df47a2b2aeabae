//! T1 to T5 and T7: what takes the craft, and how much of it. What an axis outputs then (T6) is in `pickup.rs`.

use handback::{AxisSet, Cause, Deflection, Frame, Link, Outcome, Policy, Reception, Rest, Scope, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, lesson, lesson_with, ms, parked, points, sprung, units, us, within,
};

/// Each axis for itself.
fn each_axis<const N: usize>() -> Policy<N> {
    Policy { scope: Scope::Axis, ..bare() }
}

/// Rules: T1, R1
#[test]
fn given_a_free_axis_when_its_stick_is_further_than_engage_from_its_rest_then_it_is_held() {
    let engage = points(2);
    for rest in [Deflection::CENTRE, points(7), points(-8), points(100)] {
        for (stick, held) in beyond(rest, engage) {
            let mut policy = sprung::<1>();
            policy.axes[0].rest = Rest::At(rest);
            let lesson = lesson_with(policy).instructor(0, rest).step().holds(&[]).instructor(0, stick).step();
            lesson.holds(if held { &[0] } else { &[] });
        }
    }
}

/// Rules: T1
#[test]
fn given_a_stick_already_out_at_power_up_when_the_first_frame_comes_then_it_is_held_in_that_step() {
    lesson().roll(3).step().holds(&[0]);
}

/// Rules: T1
#[test]
fn given_confirm_when_fewer_good_frames_in_a_row_are_beyond_engage_then_it_is_not_held_and_with_as_many_it_is() {
    for confirm in [1, 2, 3, 255] {
        let mut policy = sprung::<2>();
        policy.axes[0].confirm = confirm;
        let almost = lesson_with(policy).step().roll(3).steps(u32::from(confirm) - 1).holds(&[]);
        almost.step().holds(&[0]);
    }
}

/// Rules: T1
#[test]
fn given_confirm_3_when_a_bad_or_missing_frame_comes_between_then_the_row_goes_on() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    let two = lesson_with(policy).step().roll(3).steps(2).holds(&[]);
    let row = two.clone().step_without_instructor().step_with_bad_frame().step_without_instructor().holds(&[]);
    row.step().holds(&[0]);
    two.step_with_bad_frame().holds(&[]).step().holds(&[0]);
}

/// Rules: T1
#[test]
fn given_confirm_3_when_a_good_frame_within_engage_comes_between_then_the_row_begins_anew() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    let broken = lesson_with(policy).step().roll(3).steps(2).instructor(0, points(2)).step();
    broken.roll(3).steps(2).holds(&[]).step().holds(&[0]);
}

/// Rules: T1
#[test]
fn given_confirm_3_when_the_frames_of_a_row_lie_on_both_sides_then_they_are_one_row() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    lesson_with(policy).step().roll(3).step().roll(-3).step().roll(3).holds(&[]).step().holds(&[0]);
}

/// Rules: T1
#[test]
fn given_an_axis_that_is_not_watched_when_its_stick_is_at_the_stop_then_nothing_is_held_and_nothing_taken() {
    let policy = Policy { watched: axes(&[1]), ..bare::<2>() };
    lesson_with(policy).student_flying().roll(100).steps(10).holds(&[]).student_has_all();
}

/// Rules: T1, T2, N1
#[test]
fn given_rest_at_one_stop_when_the_stick_is_at_the_other_then_the_distance_does_not_wrap() {
    let mut policy = Policy { plausible: Deflection::MAX, ..sprung::<1>() };
    policy.axes[0] = handback::AxisRule { rest: Rest::At(around(Deflection::MIN, 1)), ..policy.axes[0] };
    let at_rest = lesson_with(policy).instructor(0, around(Deflection::MIN, 1)).step().holds(&[]);
    at_rest.instructor(0, Deflection::MAX).step().holds(&[0]);
}

/// What may be going on when the instructor moves a stick.
fn situations() -> Vec<(&'static str, Lesson<4>)> {
    let mut gated = sprung::<4>();
    gated.axes[1].window = Some(points(50));
    let student = [points(40), points(-40), points(90), points(100)];
    let flying = |policy| lesson_with(policy).student_flying().student_sticks(student).step();
    let silent_link = flying(sprung()).student_frames(false).pass(ms(140));
    vec![
        ("in the dwell", lesson().armed_and_on().pass(ms(1000)).student_sticks(student).step()),
        ("in the fade", lesson().student_sticks(student).student_just_got_it().pass(ms(100))),
        ("behind a gate that closed", flying(gated)),
        ("while the student flies", flying(sprung())),
        ("in the step that changed who flies", lesson().student_sticks(student).student_just_got_it()),
        ("while the student's frames stay away", silent_link),
        ("while it is latched", flying(sprung()).instructor_now(true).step().instructor_now(false).step()),
    ]
}

/// Rules: T2
#[test]
fn given_whatever_goes_on_when_a_stick_leaves_its_rest_then_the_craft_is_the_instructors_in_that_very_step() {
    for (situation, before) in situations() {
        let sticks = [points(3), points(0), points(-1), points(1)];
        let taken = before.instructor_sticks(sticks).step().holds(&[0]).instructor_has_the_craft();
        assert_eq!(taken.outcome().output.axes(), &sticks, "{situation}");
    }
}

/// Rules: T2, H4
#[test]
fn given_each_axis_for_itself_and_a_fade_when_one_stick_moves_then_only_that_axis_stops_fading() {
    let policy = Policy { fade: ms(200), ..each_axis::<2>() };
    let fading = lesson_with(policy).student_sticks([points(80), points(80)]).student_just_got_it().pass(ms(100));
    let fading = fading.outputs(0, points(40)).outputs(1, points(40));
    fading.roll(-3).step_of(ms(50)).student_has(axes(&[1])).outputs(0, points(-3)).outputs(1, points(60));
}

/// Rules: T3, R1
#[test]
fn given_a_held_axis_when_a_good_frame_is_within_release_of_its_rest_then_it_is_free() {
    for rest in [Deflection::CENTRE, points(7), points(-8)] {
        for (stick, free) in within(rest, points(1)) {
            let mut policy = sprung::<1>();
            policy.axes[0].rest = Rest::At(rest);
            let held = lesson_with(policy).instructor(0, around(rest, 500)).step().holds(&[0]);
            held.instructor(0, stick).step().holds(if free { &[] } else { &[0] });
        }
    }
}

/// Rules: T3
#[test]
fn given_release_0_when_the_stick_is_one_unit_off_its_rest_then_it_stays_held_and_at_the_rest_it_is_free() {
    let mut policy = sprung::<1>();
    policy.axes[0].release = Deflection::CENTRE;
    let held = lesson_with(policy).roll(3).step().holds(&[0]);
    for off in [-1, 1] {
        held.clone().instructor(0, units(off)).step().holds(&[0]);
    }
    held.roll(0).step().holds(&[]);
}

/// Rules: T3
#[test]
fn given_a_held_axis_when_its_stick_is_between_release_and_engage_then_it_stays_held() {
    lesson().roll(3).step().instructor(0, points(2)).steps(100).holds(&[0]);
}

/// Rules: T3
#[test]
fn given_a_held_axis_when_its_stick_jumps_across_the_rest_between_two_frames_then_it_stays_held() {
    lesson().roll(3).step().roll(-3).step().holds(&[0]).roll(3).step().holds(&[0]);
}

/// Rules: T3, R3
#[test]
fn given_a_held_axis_when_the_frame_at_its_rest_is_missing_or_bad_then_it_stays_held() {
    let held = lesson().roll(3).step().roll(0);
    held.clone().step_without_instructor().holds(&[0]).step().holds(&[]);
    held.step_with_bad_frame().holds(&[0]).step().holds(&[]);
}

/// Rules: T1, T3
#[test]
fn given_any_confirm_when_the_stick_goes_out_and_back_frame_by_frame_then_held_and_free_never_fall_in_one_step() {
    let mut policy = sprung::<1>();
    policy.axes[0].confirm = 2;
    let out = lesson_with(policy).step().roll(3).steps(2).holds(&[0]);
    let free = out.roll(0).step().holds(&[]);
    free.roll(3).step().holds(&[]).step().holds(&[0]);
}

/// Rules: T4
#[test]
fn given_a_student_flying_when_anything_asks_for_the_craft_then_the_set_is_empty_in_that_step_for_that_reason() {
    let flying = || lesson_with(Policy { settle: ms(30), ..bare::<2>() }).student(1, points(50)).student_flying();
    let taken: [(&str, Lesson<2>, Cause); 6] = [
        ("switch", flying().switch_off().step(), Cause::SwitchOff),
        ("instructor's signal", flying().instructor_frames(false).pass(ms(160)), Cause::InstructorLost),
        ("student link", flying().student_frames(false).pass(ms(160)), Cause::LinkLost),
        ("late step", flying().step_of(us(250_001)), Cause::LateStep),
        ("bad frame", flying().step_with_bad_frame(), Cause::BadFrame),
        ("instructor now", flying().instructor_now(true).step(), Cause::InstructorNow),
    ];
    for (what, lesson, cause) in taken {
        let lesson = lesson.instructor_has_the_craft().because(cause).outputs(1, Deflection::CENTRE);
        assert_eq!(lesson.outcome().pilot.student(), AxisSet::EMPTY, "{what}");
    }
}

/// Rules: T4
#[test]
fn given_a_signal_lost_in_the_middle_of_a_step_when_the_step_brings_it_back_then_the_set_is_empty_all_the_same() {
    let flying = || lesson_with(Policy { timeout: ms(30), ..bare::<2>() }).student_flying();
    flying().step_of(us(30_000)).student_has_all();
    flying().step_of(us(30_001)).instructor_has_the_craft().because(Cause::InstructorLost);
}

/// Rules: T4, T2
#[test]
fn given_a_latch_that_sets_while_the_student_keeps_the_rest_then_it_takes_the_rest() {
    let policy = Policy { latches: handback::Latches { lasted: None, beyond: Some(points(50)) }, ..each_axis::<2>() };
    let kept = lesson_with(policy).student(1, points(30)).student_flying().roll(3).step().student_has(axes(&[1]));
    kept.roll(51).step().instructor_has_the_craft().because(Cause::Latch).outputs(1, Deflection::CENTRE);
}

/// Rules: T4
#[test]
fn given_one_bad_frame_when_good_ones_follow_then_the_student_gets_the_craft_only_after_a_new_dwell() {
    let policy = Policy { dwell: ms(100), ..bare::<2>() };
    let bad = lesson_with(policy).student_flying().step_with_bad_frame().because(Cause::BadFrame);
    assert_eq!(bad.outcome().instructor, Reception::Bad);
    bad.step().pass(ms(80)).instructor_has_the_craft().step().student_has_all();
}

/// Rules: T4, L2
#[test]
fn given_a_link_that_still_qualifies_when_all_else_is_in_order_then_the_set_is_empty() {
    let lesson = lesson().armed_and_on().pass(ms(900)).instructor_has_the_craft();
    assert_eq!(lesson.outcome().link, Link::Qualifying);
}

/// Rules: T5
#[test]
fn given_scope_craft_when_any_watched_axis_is_held_then_it_takes_every_axis() {
    for axis in 0..4 {
        let flying = lesson().student_sticks([points(30); 4]).student_flying();
        let taken = flying.instructor(axis, points(3)).step().instructor_has_the_craft().because(Cause::Stick(axis));
        let mut expected = Frame::CENTRE;
        expected.axes_mut()[usize::from(axis)] = points(3);
        assert_eq!(taken.outcome().output, expected);
    }
}

/// Rules: T5
#[test]
fn given_scope_axis_when_a_shared_axis_is_held_then_it_takes_itself_and_the_student_keeps_the_rest() {
    let flying = lesson_with(each_axis::<3>()).student_sticks([points(30); 3]).student_flying();
    let taken = flying.instructor(1, points(3)).step().student_has(axes(&[0, 2])).because(Cause::Stick(1));
    let taken = taken.outputs(0, points(30)).outputs(1, points(3)).outputs(2, points(30)).waits_for(Waiting::Held(1));
    taken.instructor(0, points(-3)).step().student_has(axes(&[2])).because(Cause::Stick(0));
}

/// Rules: T5
#[test]
fn given_scope_axis_when_a_held_axis_is_not_shared_then_it_takes_everything() {
    let policy = Policy { shared: axes(&[0, 1]), ..each_axis::<3>() };
    let flying = lesson_with(policy).student_sticks([points(30); 3]).student_flying();
    let taken = flying.instructor(2, points(3)).step().instructor_has_the_craft().because(Cause::Stick(2));
    taken.outputs(0, Deflection::CENTRE).outputs(1, Deflection::CENTRE).outputs(2, points(3));
}

/// Rules: T5
#[test]
fn given_sticks_carried_as_watched_axes_that_are_not_shared_when_one_moves_then_it_takes_the_channels() {
    let policy = Policy { watched: axes(&[2, 3]), shared: axes(&[0, 1]), ..bare::<4>() };
    let flying = lesson_with(policy).student_sticks([points(30); 4]).student_flying().roll(10).step();
    flying.student_has_all().instructor(3, points(3)).step().because(Cause::Stick(3)).outputs(0, points(10));
}

/// Rules: T5
#[test]
fn given_scope_axis_when_every_shared_axis_is_held_then_the_instructor_has_the_craft() {
    let flying = lesson_with(each_axis::<2>()).student_flying();
    flying.roll(3).step().instructor(1, points(3)).step().instructor_has_the_craft().because(Cause::Stick(1));
}

/// Rules: T7, T4, T2
#[test]
fn given_a_student_flying_when_instructor_now_is_asked_for_then_the_craft_is_the_instructors_without_a_stick() {
    let asked = lesson().student(0, points(70)).student_flying().instructor_now(true).step();
    asked.instructor_has_the_craft().because(Cause::InstructorNow).holds(&[]).outputs(0, Deflection::CENTRE);
}

/// Rules: T7, H2
#[test]
fn given_instructor_now_when_it_is_no_longer_asked_for_then_the_craft_stays_until_the_switch_has_been_off() {
    let policy = Policy { settle: ms(30), ..bare::<2>() };
    let asked = lesson_with(policy).student_flying().instructor_now(true).step().instructor_now(false);
    let still = asked.pass(ms(5000)).instructor_has_the_craft().waits_for(Waiting::Latch);
    still.armed_and_on().step().pass(ms(30)).student_has_all();
}

/// Rules: T7
#[test]
fn given_instructor_now_before_the_student_ever_had_the_craft_then_it_latches_all_the_same() {
    let asked = lesson_with(bare::<2>()).armed_and_on().instructor_now(true).step().waits_for(Waiting::Latch);
    asked.instructor_now(false).steps(100).instructor_has_the_craft().waits_for(Waiting::Latch);
}

/// Rules: T7, H4
#[test]
fn given_a_fade_towards_the_instructor_when_instructor_now_is_asked_for_then_the_stick_is_output_at_once() {
    let mut policy = Policy { fade: ms(200), pickup_max: ms(100), ..bare::<2>() };
    policy.axes[1] = parked(Deflection::CENTRE);
    let waiting = lesson_with(policy).student(1, points(40)).student_flying().switch_off().step();
    let fading = waiting.waits_to_pick_up(&[1]).pass(ms(200)).waits_to_pick_up(&[]).outputs(1, points(20));
    fading.instructor_now(true).step().outputs(1, Deflection::CENTRE);
}

/// Rules: T7, T6
#[test]
fn given_a_pickup_that_waits_when_instructor_now_is_asked_for_then_the_wait_ends() {
    let mut policy = bare::<2>();
    policy.axes[1] = parked(Deflection::CENTRE);
    let waiting = lesson_with(policy).student(1, points(40)).student_flying().roll(3).step();
    let asked = waiting.waits_to_pick_up(&[1]).outputs(1, points(40)).instructor_now(true).step();
    let after: Outcome<2> = *asked.waits_to_pick_up(&[]).outputs(1, Deflection::CENTRE).outcome();
    assert_eq!(after.pickup_offset(1), None);
}
