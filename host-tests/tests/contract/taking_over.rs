//! T1 to T5 and T7: what takes the craft, and how much of it. What an axis outputs then (T6) is in `pickup.rs`.

use handback::{AxisSet, Cause, Deflection, Frame, Link, Outcome, Policy, Reception, Rest, Scope, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, lesson, lesson_with, ms, parked, points, sprung, units, us, with, within,
};

/// Scope `Axis`.
fn each_axis<const N: usize>() -> Policy<N> {
    with!(bare(), scope: Scope::Axis)
}

/// Given a free axis, when its stick is further than `engage` from its rest, then the axis is held.
/// Rules: T1, R1
#[test]
fn a_stick_beyond_engage_holds_its_axis() {
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

/// Given a stick already beyond `engage` at power-up, when the first frame comes, then its axis is held in that step.
/// Rules: T1
#[test]
fn a_stick_out_at_power_up_is_held_with_the_first_frame() {
    lesson().roll(3).step().holds(&[0]);
}

/// Given any `confirm`, when fewer good frames in a row are beyond `engage`, then the axis is not held; with `confirm`
/// frames it is.
/// Rules: T1
#[test]
fn fewer_good_frames_than_confirm_hold_nothing() {
    for confirm in [1, 2, 3, 255] {
        let mut policy = sprung::<2>();
        policy.axes[0].confirm = confirm;
        let almost = lesson_with(policy).step().roll(3).steps(u32::from(confirm) - 1).holds(&[]);
        almost.step().holds(&[0]);
    }
}

/// Given `confirm` 3, when a bad or missing frame comes within the row, then the row goes on.
/// Rules: T1
#[test]
fn a_bad_or_missing_frame_does_not_break_a_row() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    let two = lesson_with(policy).step().roll(3).steps(2).holds(&[]);
    let row = two.clone().step_without_instructor().step_with_bad_frame().step_without_instructor().holds(&[]);
    row.step().holds(&[0]);
    two.step_with_bad_frame().holds(&[]).step().holds(&[0]);
}

/// Given `confirm` 3, when a good frame within `engage` comes between, then the row begins again, before the student flies
/// and while the student flies.
/// Rules: T1
#[test]
fn a_good_frame_within_engage_breaks_a_row() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    for lesson in [lesson_with(policy).step(), lesson_with(policy).student_flying()] {
        let broken = lesson.roll(3).steps(2).instructor(0, points(2)).step();
        broken.roll(3).steps(2).holds(&[]).step().holds(&[0]);
    }
}

/// Given `confirm` 3, when the frames of a row lie on both sides of the rest, then they are one row.
/// Rules: T1
#[test]
fn a_row_may_lie_on_both_sides_of_the_rest() {
    let mut policy = sprung::<2>();
    policy.axes[0].confirm = 3;
    lesson_with(policy).step().roll(3).step().roll(-3).step().roll(3).holds(&[]).step().holds(&[0]);
}

/// Given an axis that is not watched, when its stick is at the stop, then nothing is held and nothing is taken.
/// Rules: T1
#[test]
fn an_axis_that_is_not_watched_takes_nothing() {
    let policy = with!(bare::<2>(), watched: axes(&[1]));
    lesson_with(policy).student_flying().roll(100).steps(10).holds(&[]).student_has_all();
}

/// Given a rest at one stop, when the stick is at the other stop, then the distance does not wrap and the axis is held.
/// Rules: T1, T2, N1
#[test]
fn the_distance_between_the_two_stops_does_not_wrap() {
    let mut policy = with!(sprung::<1>(), plausible: Deflection::MAX);
    policy.axes[0] = with!(policy.axes[0], rest: Rest::At(around(Deflection::MIN, 1)));
    let at_rest = lesson_with(policy).instructor(0, around(Deflection::MIN, 1)).step().holds(&[]);
    at_rest.instructor(0, Deflection::MAX).step().holds(&[0]);
}

/// The states a lesson may be in when the instructor moves a stick.
fn situations() -> Vec<(&'static str, Lesson<4>)> {
    let mut gated = sprung::<4>();
    gated.axes[1].window = Some(points(50));
    let student = [points(40), points(-40), points(90), points(100)];
    let flying = |policy| lesson_with(policy).student_flying().student_sticks(student).step();
    let silent_link = flying(sprung()).student_frames(false).pass(ms(140));
    vec![
        ("in the dwell", lesson().off_first_and_on().pass(ms(1000)).student_sticks(student).step()),
        ("in the fade", lesson().student_sticks(student).student_just_got_it().pass(ms(100))),
        ("behind a gate that closed", flying(gated)),
        ("while the student flies", flying(sprung())),
        ("in the step that changed who flies", lesson().student_sticks(student).student_just_got_it()),
        ("while the student's frames stay away", silent_link),
        ("while it is latched", flying(sprung()).instructor_now(true).step().instructor_now(false).step()),
    ]
}

/// Given any state of the lesson, when a stick leaves its rest, then the instructor has the craft in that step.
/// Rules: T2
#[test]
fn in_any_state_a_stick_takes_the_craft_in_that_step() {
    for (situation, before) in situations() {
        let sticks = [points(3), points(0), points(-1), points(1)];
        let taken = before.instructor_sticks(sticks).step().holds(&[0]).instructor_has_the_craft();
        assert_eq!(taken.outcome().output.axes(), &sticks, "{situation}");
    }
}

/// Given scope `Axis` and a fade, when one stick moves, then only its axis stops fading.
/// Rules: T2, H4
#[test]
fn in_scope_axis_only_the_moved_axis_stops_fading() {
    let policy = with!(each_axis::<2>(), fade: ms(200));
    let fading = lesson_with(policy).student_sticks([points(80), points(80)]).student_just_got_it().pass(ms(100));
    let fading = fading.outputs(0, points(40)).outputs(1, points(40));
    fading.roll(-3).step_of(ms(50)).student_has(axes(&[1])).outputs(0, points(-3)).outputs(1, points(60));
}

/// Given a held axis, when a good frame is within `release` of its rest, then the axis is free.
/// Rules: T3, R1
#[test]
fn a_stick_within_release_frees_its_axis() {
    for rest in [Deflection::CENTRE, points(7), points(-8)] {
        for (stick, free) in within(rest, points(1)) {
            let mut policy = sprung::<1>();
            policy.axes[0].rest = Rest::At(rest);
            let held = lesson_with(policy).instructor(0, around(rest, 500)).step().holds(&[0]);
            held.instructor(0, stick).step().holds(if free { &[] } else { &[0] });
        }
    }
}

/// Given `release` 0, when the stick is one unit off its rest, then the axis stays held; at the rest it is free.
/// Rules: T3
#[test]
fn release_0_frees_an_axis_only_at_its_rest() {
    let mut policy = sprung::<1>();
    policy.axes[0].release = Deflection::CENTRE;
    let held = lesson_with(policy).roll(3).step().holds(&[0]);
    for off in [-1, 1] {
        held.clone().instructor(0, units(off)).step().holds(&[0]);
    }
    held.roll(0).step().holds(&[]);
}

/// Given a held axis, when its stick is between `release` and `engage`, then the axis stays held.
/// Rules: T3
#[test]
fn between_release_and_engage_a_held_axis_stays_held() {
    lesson().roll(3).step().instructor(0, points(2)).steps(100).holds(&[0]);
}

/// Given a held axis, when its stick jumps across the rest between two frames, then the axis stays held.
/// Rules: T3
#[test]
fn a_stick_that_jumps_across_its_rest_stays_held() {
    lesson().roll(3).step().roll(-3).step().holds(&[0]).roll(3).step().holds(&[0]);
}

/// Given a held axis, when the frame at its rest is missing or bad, then the axis stays held.
/// Rules: T3, R3
#[test]
fn a_missing_or_bad_frame_at_the_rest_frees_nothing() {
    let held = lesson().roll(3).step().roll(0);
    held.clone().step_without_instructor().holds(&[0]).step().holds(&[]);
    held.step_with_bad_frame().holds(&[0]).step().holds(&[]);
}

/// Given `confirm` 2, when the stick goes out and back frame by frame, then the axis never becomes held and free in one
/// step.
/// Rules: T1, T3
#[test]
fn an_axis_never_becomes_held_and_free_in_one_step() {
    let mut policy = sprung::<1>();
    policy.axes[0].confirm = 2;
    let out = lesson_with(policy).step().roll(3).steps(2).holds(&[0]);
    let free = out.roll(0).step().holds(&[]);
    free.roll(3).step().holds(&[]).step().holds(&[0]);
}

/// Given a student who flies, when T4 asks for the craft, then the student's set is empty in that step, and the cause
/// says why.
/// Rules: T4
#[test]
fn each_cause_of_t4_empties_the_set_in_that_step() {
    let flying = || lesson_with(with!(bare::<2>(), settle: ms(30))).student(1, points(50)).student_flying();
    let moved = lesson_with(with!(bare::<2>(), frozen_after: Some(ms(300)))).student_flying();
    let frozen = moved.student(1, points(50)).step().pass(ms(300)).student_has_all().step();
    let taken: [(&str, Lesson<2>, Cause); 7] = [
        ("switch", flying().switch_off().step(), Cause::SwitchOff),
        ("instructor's signal", flying().instructor_frames(false).pass(ms(160)), Cause::InstructorLost),
        ("student link", flying().student_frames(false).pass(ms(160)), Cause::LinkLost),
        ("frozen link", frozen, Cause::LinkFrozen),
        ("late step", flying().step_of(us(250_001)), Cause::LateStep),
        ("bad frame", flying().step_with_bad_frame(), Cause::BadFrame),
        ("instructor now", flying().instructor_now(true).step(), Cause::InstructorNow),
    ];
    for (what, lesson, cause) in taken {
        let lesson = lesson.instructor_has_the_craft().because(cause).outputs(1, Deflection::CENTRE);
        assert_eq!(lesson.outcome().pilot.student(), AxisSet::EMPTY, "{what}");
    }
}

/// Given a signal that was lost in the middle of a step, when that step brings it back, then the student's set is empty
/// in that step.
/// Rules: T4
#[test]
fn a_signal_lost_and_found_in_one_step_empties_the_set() {
    let flying = || lesson_with(with!(bare::<2>(), timeout: ms(30))).student_flying();
    flying().step_of(us(30_000)).student_has_all();
    flying().step_of(us(30_001)).instructor_has_the_craft().because(Cause::InstructorLost);
}

/// Given a student who keeps the other axis, when the latch is set, then the instructor has the whole craft.
/// Rules: T4, T2
#[test]
fn a_latch_takes_the_axes_that_the_student_still_has() {
    let policy = with!(each_axis::<2>(), latches: handback::Latches { lasted: None, beyond: Some(points(50)) });
    let kept = lesson_with(policy).student(1, points(30)).student_flying().roll(3).step().student_has(axes(&[1]));
    kept.roll(51).step().instructor_has_the_craft().because(Cause::Latch).outputs(1, Deflection::CENTRE);
}

/// Given one bad frame, when good frames follow, then the student gets the craft only after a new dwell.
/// Rules: T4
#[test]
fn after_one_bad_frame_a_new_dwell_runs() {
    let policy = with!(bare::<2>(), dwell: ms(100));
    let bad = lesson_with(policy).student_flying().step_with_bad_frame().because(Cause::BadFrame);
    assert_eq!(bad.outcome().instructor, Reception::Bad);
    bad.step().pass(ms(80)).instructor_has_the_craft().step().student_has_all();
}

/// Given a link that still qualifies, when everything else is in order, then the student's set is empty.
/// Rules: T4, L2
#[test]
fn a_link_that_still_qualifies_keeps_the_set_empty() {
    let lesson = lesson().off_first_and_on().pass(ms(900)).instructor_has_the_craft();
    assert_eq!(lesson.outcome().link, Link::Qualifying);
}

/// Given scope `Craft`, when any watched axis is held, then the axis takes every axis.
/// Rules: T5
#[test]
fn in_scope_craft_any_held_axis_takes_every_axis() {
    for axis in 0..4 {
        let flying = lesson().student_sticks([points(30); 4]).student_flying();
        let taken = flying.instructor(axis, points(3)).step().instructor_has_the_craft().because(Cause::Stick(axis));
        let mut expected = Frame::CENTRE;
        expected.axes_mut()[usize::from(axis)] = points(3);
        assert_eq!(taken.outcome().output, expected);
    }
}

/// Given scope `Axis`, when a shared axis is held, then the axis takes itself and the student keeps the other axes.
/// Rules: T5
#[test]
fn in_scope_axis_a_shared_axis_takes_only_itself() {
    let flying = lesson_with(each_axis::<3>()).student_sticks([points(30); 3]).student_flying();
    let taken = flying.instructor(1, points(3)).step().student_has(axes(&[0, 2])).because(Cause::Stick(1));
    let taken = taken.outputs(0, points(30)).outputs(1, points(3)).outputs(2, points(30)).waits_for(Waiting::Held(1));
    taken.instructor(0, points(-3)).step().student_has(axes(&[2])).because(Cause::Stick(0));
}

/// Given scope `Axis`, when a held axis is not shared, then the axis takes everything.
/// Rules: T5
#[test]
fn in_scope_axis_an_axis_not_shared_takes_everything() {
    let policy = with!(each_axis::<3>(), shared: axes(&[0, 1]));
    let flying = lesson_with(policy).student_sticks([points(30); 3]).student_flying();
    let taken = flying.instructor(2, points(3)).step().instructor_has_the_craft().because(Cause::Stick(2));
    taken.outputs(0, Deflection::CENTRE).outputs(1, Deflection::CENTRE).outputs(2, points(3));
}

/// Given sticks carried as axes that are watched and not shared, when one moves, then it takes the channels.
/// Rules: T5
#[test]
fn a_stick_carried_as_a_watched_axis_takes_the_channels() {
    let policy = with!(bare::<4>(), watched: axes(&[2, 3]), shared: axes(&[0, 1]));
    let flying = lesson_with(policy).student_sticks([points(30); 4]).student_flying().roll(10).step();
    flying.student_has_all().instructor(3, points(3)).step().because(Cause::Stick(3)).outputs(0, points(10));
}

/// Given scope `Axis`, when every shared axis is held, then the instructor has the craft.
/// Rules: T5
#[test]
fn in_scope_axis_the_last_shared_axis_takes_the_craft() {
    let flying = lesson_with(each_axis::<2>()).student_flying();
    flying.roll(3).step().instructor(1, points(3)).step().instructor_has_the_craft().because(Cause::Stick(1));
}

/// Given a student who flies, when instructor now is asked for, then the instructor has the craft and no axis is held.
/// Rules: T7, T4, T2
#[test]
fn instructor_now_takes_the_craft_without_a_stick() {
    let asked = lesson().student(0, points(70)).student_flying().instructor_now(true).step();
    asked.instructor_has_the_craft().because(Cause::InstructorNow).holds(&[]).outputs(0, Deflection::CENTRE);
}

/// Given instructor now, when it is no longer asked for, then the instructor keeps the craft until the switch has been
/// off.
/// Rules: T7, H2
#[test]
fn instructor_now_keeps_the_craft_until_the_switch_is_off() {
    let policy = with!(bare::<2>(), settle: ms(30));
    let asked = lesson_with(policy).student_flying().instructor_now(true).step().instructor_now(false);
    let still = asked.pass(ms(5000)).instructor_has_the_craft().waits_for(Waiting::Latch);
    still.off_first_and_on().step().pass(ms(30)).student_has_all();
}

/// Given a student who never had the craft, when instructor now is asked for, then it latches.
/// Rules: T7
#[test]
fn instructor_now_latches_before_the_student_ever_flew() {
    let asked = lesson_with(bare::<2>()).off_first_and_on().instructor_now(true).step().waits_for(Waiting::Latch);
    asked.instructor_now(false).steps(100).instructor_has_the_craft().waits_for(Waiting::Latch);
}

/// Given a fade to the instructor, when instructor now is asked for, then the instructor's stick is output at once.
/// Rules: T7, H4
#[test]
fn instructor_now_ends_a_fade_to_the_instructor() {
    let mut policy = with!(bare::<2>(), fade: ms(200), pickup_max: ms(100));
    policy.axes[1] = parked(Deflection::CENTRE);
    let waiting = lesson_with(policy).student(1, points(40)).student_flying().switch_off().step();
    let fading = waiting.waits_to_pick_up(&[1]).pass(ms(200)).waits_to_pick_up(&[]).outputs(1, points(20));
    fading.instructor_now(true).step().outputs(1, Deflection::CENTRE);
}

/// Given an axis that waits for its pickup, when instructor now is asked for, then the wait ends.
/// Rules: T7, T6
#[test]
fn instructor_now_ends_a_wait_for_pickup() {
    let mut policy = bare::<2>();
    policy.axes[1] = parked(Deflection::CENTRE);
    let waiting = lesson_with(policy).student(1, points(40)).student_flying().roll(3).step();
    let asked = waiting.waits_to_pick_up(&[1]).outputs(1, points(40)).instructor_now(true).step();
    let after: Outcome<2> = *asked.waits_to_pick_up(&[]).outputs(1, Deflection::CENTRE).outcome();
    assert_eq!(after.pickup_offset(1), None);
}
