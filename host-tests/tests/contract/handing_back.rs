//! H1 and H3: when the student gets axes. The latch (H2) is in `latch.rs`, the fade (H4) in `fade.rs`.

use handback::{AxisRule, Cause, Deflection, Policy, Scope, Waiting};
use handback_host_tests::{Lesson, around, axes, bare, beyond, lesson_with, ms, parked, points, reached, unsprung, us};

const CENTRE: Deflection = Deflection::CENTRE;

/// Every timer but the dwell is 0.
fn dwell<const N: usize>(dwell: u32) -> Policy<N> {
    Policy { dwell: ms(dwell), ..bare() }
}

/// Rules: H1
#[test]
fn given_everything_in_order_when_it_has_held_for_dwell_then_the_student_gets_the_craft_and_not_before() {
    for (elapsed, granted) in reached(ms(300)) {
        let begun = lesson_with(dwell::<2>(300)).armed_and_on().step().waits_for(Waiting::Dwell { left: ms(300) });
        begun.pass(elapsed).student_has_all_if(granted);
    }
}

/// Rules: H1, A1
#[test]
fn given_the_dwell_is_over_when_the_student_gets_the_craft_then_the_cause_is_handed_back() {
    lesson_with(dwell::<2>(300)).armed_and_on().step().pass(ms(300)).because(Cause::HandedBack).outputs(0, CENTRE);
}

/// Rules: H1, T3
#[test]
fn given_a_held_stick_when_it_is_let_go_then_the_dwell_begins_in_the_step_after() {
    for (elapsed, granted) in reached(ms(300)) {
        let free = lesson_with(dwell::<2>(300)).student_flying().roll(3).step().roll(0).step().holds(&[]);
        let free = free.waits_for(Waiting::Dwell { left: ms(300) });
        let begun = free.step().waits_for(Waiting::Dwell { left: ms(300) });
        begun.pass(elapsed).student_has_all_if(granted);
    }
}

/// Rules: H1
#[test]
fn given_no_dwell_when_a_held_stick_is_let_go_then_it_is_handed_back_one_step_later_and_never_in_the_same() {
    let free = lesson_with(dwell::<2>(0)).student_flying().roll(3).step().roll(0).step().instructor_has_the_craft();
    free.step().student_has_all();
}

/// Rules: H1
#[test]
fn given_a_running_dwell_when_anything_breaks_it_then_it_begins_anew() {
    let begun = || lesson_with(dwell::<2>(300)).armed_and_on().step().pass(ms(280)).instructor_has_the_craft();
    // Each is over in the step before the one in which the dwell then begins.
    let broken: [(&str, Lesson<2>); 4] = [
        ("stick", begun().roll(3).step().roll(0).step()),
        ("switch", begun().switch_off().step().switch_on().step()),
        ("bad frame", begun().step_with_bad_frame()),
        (
            "instructor now",
            begun().instructor_now(true).step().instructor_now(false).switch_off().steps(2).switch_on().step(),
        ),
    ];
    for (what, lesson) in broken {
        let anew = lesson.step();
        assert_eq!(anew.outcome().waiting, Some(Waiting::Dwell { left: ms(300) }), "{what}");
        anew.clone().pass(us(299_999)).instructor_has_the_craft();
        anew.pass(ms(300)).student_has_all();
    }
}

/// Rules: H1, L3
#[test]
fn given_a_running_dwell_when_the_student_link_is_lost_then_it_begins_anew_once_the_link_is_good() {
    let policy = Policy { off_first_after_loss: false, ..dwell::<2>(300) };
    let lost = lesson_with(policy).armed_and_on().step().pass(ms(100)).student_frames(false).pass(ms(160));
    // It was lost at the beginning of the step that finds it good again (T4): the dwell begins in the next one.
    let good = lost.student_frames(true).step().waits_for(Waiting::StudentLink { left: us(0) }).step();
    good.clone().pass(us(299_999)).instructor_has_the_craft();
    good.pass(ms(300)).student_has_all();
}

/// Rules: H1
#[test]
fn given_the_dwell_is_over_when_no_good_frame_comes_then_the_set_grows_with_the_next_one() {
    let almost = lesson_with(dwell::<2>(300)).armed_and_on().step().pass(ms(280));
    let over = almost.step_without_instructor().instructor_has_the_craft().waits_for(Waiting::Dwell { left: us(0) });
    over.step_without_instructor().instructor_has_the_craft().step().student_has_all();
}

/// Rules: H1
#[test]
fn given_frames_slower_than_steps_when_the_dwell_runs_then_missing_frames_do_not_break_it() {
    let mut lesson = lesson_with(dwell::<2>(300)).armed_and_on().step();
    for _ in 0..7 {
        lesson = lesson.step_without_instructor().step().instructor_has_the_craft();
    }
    lesson.step().student_has_all();
}

/// Rules: H1, T5
#[test]
fn given_scope_axis_when_the_set_of_held_axes_changes_then_the_dwell_begins_anew_for_all() {
    let policy = Policy { scope: Scope::Axis, ..dwell::<3>(300) };
    let one_free = lesson_with(policy).student_flying().roll(3).step().roll(0).step().step().pass(ms(280));
    // Just before axis 0 would come back, axis 1 becomes held: axis 0 waits for a whole dwell again.
    let other = one_free.student_has(axes(&[1, 2])).instructor(1, points(3)).step().student_has(axes(&[2]));
    let anew = other.step();
    anew.clone().pass(us(299_999)).student_has(axes(&[2]));
    anew.pass(ms(300)).student_has(axes(&[0, 2])).because(Cause::HandedBack);
}

/// Rules: H1, T5
#[test]
fn given_scope_axis_when_a_shared_axis_stays_held_then_the_others_join_without_it() {
    let policy = Policy { scope: Scope::Axis, ..dwell::<3>(300) };
    let joined = lesson_with(policy).roll(3).armed_and_on().step().pass(ms(300)).student_has(axes(&[1, 2]));
    joined.waits_for(Waiting::Held(0));
}

/// Rules: H1, T5
#[test]
fn given_a_held_axis_that_takes_everything_when_it_stays_held_then_the_dwell_does_not_begin() {
    for scope in [Scope::Craft, Scope::Axis] {
        let policy = Policy { scope, shared: axes(&[0, 1]), ..dwell::<3>(300) };
        let held = lesson_with(policy).instructor(2, points(3)).armed_and_on().step().pass(ms(5000));
        let free = held.instructor_has_the_craft().waits_for(Waiting::Held(2)).instructor(2, CENTRE).step().step();
        free.clone().pass(us(299_999)).instructor_has_the_craft();
        free.pass(ms(300)).student_has_all();
    }
}

/// Rules: H1
#[test]
fn given_a_student_flying_when_nothing_happens_then_nothing_is_announced_again() {
    lesson_with(dwell::<2>(300)).student_flying().pass(ms(60_000)).student_has_all().has_announced(1);
}

/// Rules: H1, T1
#[test]
fn given_scope_axis_when_any_watched_stick_is_on_its_way_to_being_held_then_no_axis_joins_and_the_dwell_goes_on() {
    // Axis 2 is watched and not shared; one frame beyond engage does not make it held.
    let mut policy = Policy { scope: Scope::Axis, shared: axes(&[0, 1]), ..dwell::<3>(300) };
    policy.axes[2].confirm = 3;
    let almost = lesson_with(policy).armed_and_on().step().pass(ms(260)).instructor_has_the_craft();
    let over = almost.instructor(2, points(3)).steps(2).holds(&[]).instructor_has_the_craft();
    // Missing frames do not end a row.
    let over = over.step_without_instructor().instructor_has_the_craft();
    over.instructor(2, points(2)).step().student_has_all().because(Cause::HandedBack);
}

/// Rules: H1, T1
#[test]
fn given_a_student_flying_when_a_stick_is_on_its_way_to_being_held_then_it_takes_nothing_yet() {
    let mut policy = dwell::<2>(300);
    policy.axes[1].confirm = 3;
    let moving = lesson_with(policy).student_flying().instructor(1, points(3)).steps(2).student_has_all();
    moving.step().because(Cause::Stick(1));
}

/// Axis 1 has a window of 20 points.
fn gated(scope: Scope) -> Policy<3> {
    let mut policy = Policy { scope, ..dwell(100) };
    policy.axes[1].window = Some(points(20));
    policy
}

/// Rules: H3
#[test]
fn given_a_gate_when_the_sticks_are_within_the_window_then_the_craft_is_handed_back_and_a_unit_further_it_is_not() {
    for (student, closed) in beyond(CENTRE, points(20)) {
        let lesson = lesson_with(gated(Scope::Craft)).student(1, student).armed_and_on().step().pass(ms(100));
        let lesson = lesson.student_has_all_if(!closed);
        assert_eq!(lesson.outcome().waiting, closed.then_some(Waiting::Gate(1)));
    }
}

/// Rules: H3
#[test]
fn given_a_window_of_0_when_the_sticks_are_a_unit_apart_then_the_gate_is_closed_and_at_the_same_place_it_is_open() {
    let mut policy = gated(Scope::Craft);
    policy.axes[1].window = Some(CENTRE);
    let closed = lesson_with(policy).instructor(1, points(1)).student(1, around(points(1), 1)).armed_and_on();
    let closed = closed.step().pass(ms(500)).waits_for(Waiting::Gate(1));
    closed.student(1, points(1)).step().student_has_all();
}

/// Rules: H3, H1
#[test]
fn given_scope_craft_when_one_gate_is_closed_then_the_whole_set_waits_and_joins_in_the_step_that_opens_it() {
    let closed = lesson_with(gated(Scope::Craft)).student(1, points(21)).armed_and_on().step().pass(ms(5000));
    closed.instructor_has_the_craft().student(1, points(20)).step().student_has_all().because(Cause::HandedBack);
}

/// Rules: H3, H1
#[test]
fn given_a_gate_that_closes_and_opens_while_the_dwell_runs_then_the_dwell_goes_on() {
    let begun = lesson_with(gated(Scope::Craft)).armed_and_on().step();
    begun.student(1, points(90)).steps(3).student(1, CENTRE).steps(2).student_has_all();
}

/// Rules: H3
#[test]
fn given_scope_axis_when_one_gate_is_closed_then_only_its_own_axis_waits() {
    let closed = lesson_with(gated(Scope::Axis)).student(1, points(21)).armed_and_on().step().pass(ms(100));
    let closed = closed.student_has(axes(&[0, 2])).waits_for(Waiting::Gate(1)).steps(100).student_has(axes(&[0, 2]));
    closed.student(1, points(20)).step().student_has_all().because(Cause::HandedBack);
}

/// Rules: H3
#[test]
fn given_a_student_flying_when_the_sticks_part_then_the_gate_takes_nothing() {
    for scope in [Scope::Craft, Scope::Axis] {
        lesson_with(gated(scope)).student_flying().student(1, points(-100)).steps(100).student_has_all();
    }
}

/// Rules: H3
#[test]
fn given_scope_axis_when_another_axis_joins_then_a_gate_that_closed_meanwhile_takes_nothing() {
    let apart = lesson_with(gated(Scope::Axis)).student_flying().student(1, points(-100)).step();
    apart.roll(3).step().student_has(axes(&[1, 2])).roll(0).steps(20).student_has_all();
}

/// Rules: H3
#[test]
fn given_a_gate_on_an_axis_that_is_not_shared_when_the_sticks_are_apart_then_nothing_waits() {
    let policy = Policy { shared: axes(&[0, 2]), ..gated(Scope::Craft) };
    lesson_with(policy).student(1, points(90)).student_flying().has_announced(1);
}

/// Rules: H3, N1
#[test]
fn given_the_widest_window_when_the_sticks_are_at_opposite_ends_then_the_distance_does_not_wrap() {
    let mut policy = Policy { plausible: Deflection::MAX, ..gated(Scope::Craft) };
    policy.axes[1] = AxisRule { window: Some(Deflection::MAX), ..parked(Deflection::MAX) };
    let ends = lesson_with(policy).instructor(1, Deflection::MAX).student(1, around(Deflection::MIN, 1));
    let closed = ends.armed_and_on().step().pass(ms(500)).waits_for(Waiting::Gate(1));
    closed.student(1, CENTRE).step().student_has_all();
}

/// Rules: H3
#[test]
fn given_no_student_frame_in_a_step_when_the_gate_is_asked_then_the_last_good_one_stands_in() {
    let open = lesson_with(gated(Scope::Craft)).student(1, points(10)).armed_and_on().step().pass(ms(80));
    open.student_frames(false).step().student_has_all();
}

/// Rules: H5
#[test]
fn given_axes_that_are_not_shared_when_the_student_flies_then_they_come_from_the_instructor() {
    let policy = Policy { shared: axes(&[0]), watched: axes(&[0]), fade: ms(200), ..dwell::<2>(100) };
    let sticks = [points(90), points(90)];
    let mut lesson = lesson_with(policy).instructor(1, points(-70)).student_sticks(sticks);
    lesson = lesson.step().outputs(1, points(-70)).student_just_got_it().outputs(1, points(-70));
    for move_to in [-100, -3, 0, 55, 125] {
        lesson = lesson.instructor(1, points(move_to)).step().student_has(axes(&[0])).outputs(1, points(move_to));
    }
    lesson.instructor_frames(false).pass(ms(140)).outputs(1, points(125)).pass(ms(100)).outputs(1, points(125));
}

/// Rules: H5, I2
#[test]
fn given_axes_that_are_not_shared_when_nobody_flies_then_they_come_from_the_failsafe_frame() {
    let mut policy = Policy { shared: axes(&[0]), ..dwell::<2>(100) };
    policy.axes[1] = unsprung();
    let gone = lesson_with(policy).instructor(1, points(60)).step().instructor_frames(false).pass(us(1_000_001));
    gone.nobody_has_the_craft().outputs(1, points(-100));
}
