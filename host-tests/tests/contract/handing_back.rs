//! H1 and H3: when the student gets axes. The latch (H2) is in `latch.rs`, the fade (H4) in `fade.rs`.

use handback::{Cause, Deflection, Policy, Scope, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, lesson_with, ms, parked, points, reached, unsprung, us, with,
};

const CENTRE: Deflection = Deflection::CENTRE;

/// Every timer but the dwell is 0.
fn dwell<const N: usize>(dwell: u32) -> Policy<N> {
    with!(bare(), dwell: ms(dwell))
}

/// Given everything in order, when that has held for `dwell`, then the student gets the craft, and not before.
/// Rules: H1
#[test]
fn the_student_gets_the_craft_after_dwell_and_not_before() {
    for (elapsed, granted) in reached(ms(300)) {
        let begun = lesson_with(dwell::<2>(300)).off_first_and_on().step().waits_for(Waiting::Dwell { left: ms(300) });
        begun.pass(elapsed).student_has_all_if(granted);
    }
}

/// Given a dwell that is over, when the student gets the craft, then the cause is handed back.
/// Rules: H1, A1
#[test]
fn a_growing_set_is_announced_as_handed_back() {
    lesson_with(dwell::<2>(300)).off_first_and_on().step().pass(ms(300)).because(Cause::HandedBack).outputs(0, CENTRE);
}

/// Given a held axis, when its stick is let go, then the dwell begins in the next step.
/// Rules: H1, T3
#[test]
fn the_dwell_begins_in_the_step_after_a_stick_becomes_free() {
    for (elapsed, granted) in reached(ms(300)) {
        let free = lesson_with(dwell::<2>(300)).student_flying().roll(3).step().roll(0).step().holds(&[]);
        let free = free.waits_for(Waiting::Dwell { left: ms(300) });
        let begun = free.step().waits_for(Waiting::Dwell { left: ms(300) });
        begun.pass(elapsed).student_has_all_if(granted);
    }
}

/// Given a dwell of 0, when a held stick is let go, then the craft is handed back one step later, never in the same
/// step.
/// Rules: H1
#[test]
fn without_dwell_a_freed_stick_hands_back_one_step_later() {
    let free = lesson_with(dwell::<2>(0)).student_flying().roll(3).step().roll(0).step().instructor_has_the_craft();
    free.step().student_has_all();
}

/// Given a dwell that runs, when a stick, the switch, a bad frame or instructor now breaks it, then it begins again.
/// Rules: H1
#[test]
fn any_interruption_restarts_the_dwell() {
    let begun = || lesson_with(dwell::<2>(300)).off_first_and_on().step().pass(ms(280)).instructor_has_the_craft();
    // Each interruption is over in the step before the dwell begins again.
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

/// Given a dwell that runs, when the student link is lost, then the dwell begins again once the link is good.
/// Rules: H1, L3
#[test]
fn a_lost_link_restarts_the_dwell_once_it_is_good() {
    let policy = with!(dwell::<2>(300), off_first_after_loss: false);
    let lost = lesson_with(policy).off_first_and_on().step().pass(ms(100)).student_frames(false).pass(ms(160));
    // The link was lost at the beginning of the step that finds it good again (T4): the dwell begins in the next step.
    let good = lost.student_frames(true).step().waits_for(Waiting::StudentLink { left: us(0) }).step();
    good.clone().pass(us(299_999)).instructor_has_the_craft();
    good.pass(ms(300)).student_has_all();
}

/// Given a dwell that is over, when no good instructor's frame comes, then the set grows with the next good one.
/// Rules: H1
#[test]
fn the_set_grows_only_with_a_good_frame() {
    let almost = lesson_with(dwell::<2>(300)).off_first_and_on().step().pass(ms(280));
    let over = almost.step_without_instructor().instructor_has_the_craft().waits_for(Waiting::Dwell { left: us(0) });
    over.step_without_instructor().instructor_has_the_craft().step().student_has_all();
}

/// Given frames slower than steps, when the dwell runs, then the missing frames do not break it.
/// Rules: H1
#[test]
fn missing_frames_do_not_break_the_dwell() {
    let mut lesson = lesson_with(dwell::<2>(300)).off_first_and_on().step();
    for _ in 0..7 {
        lesson = lesson.step_without_instructor().step().instructor_has_the_craft();
    }
    lesson.step().student_has_all();
}

/// Given scope `Axis`, when the set of held axes changes, then the dwell begins again for every axis.
/// Rules: H1, T5
#[test]
fn in_scope_axis_a_change_of_held_axes_restarts_the_dwell() {
    let policy = with!(dwell::<3>(300), scope: Scope::Axis);
    let one_free = lesson_with(policy).student_flying().roll(3).step().roll(0).step().step().pass(ms(280));
    // Just before axis 0 would join, axis 1 becomes held: axis 0 waits for a whole dwell again.
    let other = one_free.student_has(axes(&[1, 2])).instructor(1, points(3)).step().student_has(axes(&[2]));
    let anew = other.step();
    anew.clone().pass(us(299_999)).student_has(axes(&[2]));
    anew.pass(ms(300)).student_has(axes(&[0, 2])).because(Cause::HandedBack);
}

/// Given scope `Axis`, when a shared axis stays held, then the other axes join without it.
/// Rules: H1, T5
#[test]
fn in_scope_axis_the_others_join_without_the_held_axis() {
    let policy = with!(dwell::<3>(300), scope: Scope::Axis);
    let joined = lesson_with(policy).roll(3).off_first_and_on().step().pass(ms(300)).student_has(axes(&[1, 2]));
    joined.waits_for(Waiting::Held(0));
}

/// Given a held axis that takes everything, when it stays held, then the dwell does not begin.
/// Rules: H1, T5
#[test]
fn no_dwell_begins_while_a_held_axis_takes_everything() {
    for scope in [Scope::Craft, Scope::Axis] {
        let policy = with!(dwell::<3>(300), scope: scope, shared: axes(&[0, 1]));
        let held = lesson_with(policy).instructor(2, points(3)).off_first_and_on().step().pass(ms(5000));
        let free = held.instructor_has_the_craft().waits_for(Waiting::Held(2)).instructor(2, CENTRE).step().step();
        free.clone().pass(us(299_999)).instructor_has_the_craft();
        free.pass(ms(300)).student_has_all();
    }
}

/// Given a student who flies, when nothing happens, then nothing is announced again.
/// Rules: H1
#[test]
fn while_the_student_flies_nothing_is_announced_again() {
    lesson_with(dwell::<2>(300)).student_flying().pass(ms(60_000)).student_has_all().has_announced(1);
}

/// Given scope `Axis`, when a row of any watched axis has begun, then no axis joins. The dwell goes on.
/// Rules: H1, T1
#[test]
fn no_axis_joins_while_a_row_has_begun() {
    // Axis 2 is watched and not shared; one frame beyond engage does not make it held.
    let mut policy = with!(dwell::<3>(300), scope: Scope::Axis, shared: axes(&[0, 1]));
    policy.axes[2].confirm = 3;
    let almost = lesson_with(policy).off_first_and_on().step().pass(ms(260)).instructor_has_the_craft();
    let over = almost.instructor(2, points(3)).steps(2).holds(&[]).instructor_has_the_craft();
    // Missing frames do not end a row.
    let over = over.step_without_instructor().instructor_has_the_craft();
    over.instructor(2, points(2)).step().student_has_all().because(Cause::HandedBack);
}

/// Given a student who flies, when a row has begun, then it takes nothing until the axis is held.
/// Rules: H1, T1
#[test]
fn a_row_that_has_begun_takes_nothing_yet() {
    let mut policy = dwell::<2>(300);
    policy.axes[1].confirm = 3;
    let moving = lesson_with(policy).student_flying().instructor(1, points(3)).steps(2).student_has_all();
    moving.step().because(Cause::Stick(1));
}

/// Axis 1 has a window of 20 points.
fn gated(scope: Scope) -> Policy<3> {
    let mut policy = with!(dwell(100), scope: scope);
    policy.axes[1].window = Some(points(20));
    policy
}

/// Given a gate, when the sticks are within the window, then the craft is handed back. One unit further it is not.
/// Rules: H3
#[test]
fn a_gate_is_open_up_to_its_window() {
    for (student, closed) in beyond(CENTRE, points(20)) {
        let lesson = lesson_with(gated(Scope::Craft)).student(1, student).off_first_and_on().step().pass(ms(100));
        let lesson = lesson.student_has_all_if(!closed);
        assert_eq!(lesson.outcome().waiting, closed.then_some(Waiting::Gate(1)));
    }
}

/// Given a window of 0, when the sticks are one unit apart, then the gate is closed; at the same place it is open.
/// Rules: H3
#[test]
fn a_gate_with_window_0_opens_only_at_the_same_place() {
    let mut policy = gated(Scope::Craft);
    policy.axes[1].window = Some(CENTRE);
    let closed = lesson_with(policy).instructor(1, points(1)).student(1, around(points(1), 1)).off_first_and_on();
    let closed = closed.step().pass(ms(500)).waits_for(Waiting::Gate(1));
    closed.student(1, points(1)).step().student_has_all();
}

/// Given scope `Craft`, when one gate is closed, then the whole set waits. It joins in the step that opens the gate.
/// Rules: H3, H1
#[test]
fn in_scope_craft_one_closed_gate_holds_back_the_whole_set() {
    let closed = lesson_with(gated(Scope::Craft)).student(1, points(21)).off_first_and_on().step().pass(ms(5000));
    closed.instructor_has_the_craft().student(1, points(20)).step().student_has_all().because(Cause::HandedBack);
}

/// Given a dwell that runs, when a gate closes and opens, then the dwell goes on.
/// Rules: H3, H1
#[test]
fn a_gate_does_not_break_the_dwell() {
    let begun = lesson_with(gated(Scope::Craft)).off_first_and_on().step();
    begun.student(1, points(90)).steps(3).student(1, CENTRE).steps(2).student_has_all();
}

/// Given scope `Axis`, when one gate is closed, then only its own axis waits.
/// Rules: H3
#[test]
fn in_scope_axis_a_closed_gate_holds_back_only_its_axis() {
    let closed = lesson_with(gated(Scope::Axis)).student(1, points(21)).off_first_and_on().step().pass(ms(100));
    let closed = closed.student_has(axes(&[0, 2])).waits_for(Waiting::Gate(1)).steps(100).student_has(axes(&[0, 2]));
    closed.student(1, points(20)).step().student_has_all().because(Cause::HandedBack);
}

/// Given a student who flies, when the sticks move apart, then the gate takes nothing.
/// Rules: H3
#[test]
fn a_gate_takes_nothing_from_the_student() {
    for scope in [Scope::Craft, Scope::Axis] {
        lesson_with(gated(scope)).student_flying().student(1, points(-100)).steps(100).student_has_all();
    }
}

/// Given scope `Axis` and a gate that closed while the student flies, when another axis joins, then the gate takes
/// nothing.
/// Rules: H3
#[test]
fn in_scope_axis_a_gate_takes_nothing_when_another_joins() {
    let apart = lesson_with(gated(Scope::Axis)).student_flying().student(1, points(-100)).step();
    apart.roll(3).step().student_has(axes(&[1, 2])).roll(0).steps(20).student_has_all();
}

/// Given a gate on an axis that is not shared, when the sticks are apart, then nothing waits.
/// Rules: H3
#[test]
fn a_gate_on_an_axis_not_shared_holds_nothing_back() {
    let policy = with!(gated(Scope::Craft), shared: axes(&[0, 2]));
    lesson_with(policy).student(1, points(90)).student_flying().has_announced(1);
}

/// Given the widest window, when the sticks are at opposite ends, then the distance does not wrap.
/// Rules: H3, N1
#[test]
fn the_distance_at_the_widest_gate_does_not_wrap() {
    let mut policy = with!(gated(Scope::Craft), plausible: Deflection::MAX);
    policy.axes[1] = with!(parked(Deflection::MAX), window: Some(Deflection::MAX));
    let ends = lesson_with(policy).instructor(1, Deflection::MAX).student(1, around(Deflection::MIN, 1));
    let closed = ends.off_first_and_on().step().pass(ms(500)).waits_for(Waiting::Gate(1));
    closed.student(1, CENTRE).step().student_has_all();
}

/// Given a step without a student's frame, when the gate is checked, then the last good frame stands in.
/// Rules: H3
#[test]
fn a_gate_reads_the_students_last_good_frame() {
    let open = lesson_with(gated(Scope::Craft)).student(1, points(10)).off_first_and_on().step().pass(ms(80));
    open.student_frames(false).step().student_has_all();
}

/// Given axes that are not shared, when the student flies, then they come from the instructor.
/// Rules: H5
#[test]
fn axes_not_shared_come_from_the_instructor() {
    let policy = with!(dwell::<2>(100), shared: axes(&[0]), watched: axes(&[0]), fade: ms(200));
    let sticks = [points(90), points(90)];
    let mut lesson = lesson_with(policy).instructor(1, points(-70)).student_sticks(sticks);
    lesson = lesson.step().outputs(1, points(-70)).student_just_got_it().outputs(1, points(-70));
    for move_to in [-100, -3, 0, 55, 125] {
        lesson = lesson.instructor(1, points(move_to)).step().student_has(axes(&[0])).outputs(1, points(move_to));
    }
    lesson.instructor_frames(false).pass(ms(140)).outputs(1, points(125)).pass(ms(100)).outputs(1, points(125));
}

/// Given axes that are not shared, when nobody flies, then they come from the failsafe frame.
/// Rules: H5, I2
#[test]
fn axes_not_shared_come_from_failsafe_when_nobody_flies() {
    let mut policy = with!(dwell::<2>(100), shared: axes(&[0]));
    policy.axes[1] = unsprung();
    let gone = lesson_with(policy).instructor(1, points(60)).step().instructor_frames(false).pass(us(1_000_001));
    gone.nobody_has_the_craft().outputs(1, points(-100));
}
