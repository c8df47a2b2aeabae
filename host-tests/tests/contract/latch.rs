//! H2: the latch, which keeps the craft with the instructor until the switch has been off.

use handback::{AxisRule, Cause, Deflection, Latches, Policy, Scope, Waiting};
use handback_host_tests::{Lesson, around, axes, bare, beyond, lesson_with, ms, points, reached, unsprung, us, with};

const CENTRE: Deflection = Deflection::CENTRE;

/// A policy whose axis 1 has `keep`.
fn keeps<const N: usize>() -> Policy<N> {
    let mut policy = with!(bare(), settle: ms(30), dwell: ms(100));
    policy.axes[1].keep = true;
    policy
}

fn latches(lasted: Option<u32>, beyond: Option<i16>) -> Policy<2> {
    let latches = Latches { lasted: lasted.map(ms), beyond: beyond.map(points) };
    with!(bare(), latches: latches, settle: ms(30), dwell: ms(100))
}

/// All sticks are let go, and the craft stays with the instructor: only the latch keeps it.
fn is_latched<const N: usize>(lesson: Lesson<N>) -> Lesson<N> {
    lesson.instructor_sticks([CENTRE; N]).pass(ms(3000)).holds(&[]).instructor_has_the_craft().waits_for(Waiting::Latch)
}

/// All sticks are let go, and the student gets the craft.
fn is_not_latched<const N: usize>(lesson: Lesson<N>) -> Lesson<N> {
    lesson.instructor_sticks([CENTRE; N]).pass(ms(3000)).holds(&[]).student_has_all()
}

/// Given an axis with `keep`, when its stick takes over, then the craft stays with the instructor until the switch has
/// been off.
/// Rules: H2
#[test]
fn a_takeover_by_a_stick_with_keep_latches() {
    let kept = is_latched(lesson_with(keeps::<2>()).student_flying().instructor(1, points(3)).step());
    kept.off_first_and_on().step().pass(ms(30)).pass(ms(100)).student_has_all();
}

/// Given an axis without `keep`, when its stick takes over, then the craft is handed back without the switch.
/// Rules: H2
#[test]
fn a_takeover_by_a_stick_without_keep_does_not_latch() {
    is_not_latched(lesson_with(keeps::<2>()).student_flying().roll(3).step());
}

/// Given a takeover by another stick, when a stick with `keep` joins it, then it latches.
/// Rules: H2
#[test]
fn a_stick_with_keep_that_joins_a_takeover_latches() {
    let taken = lesson_with(keeps::<2>()).student_flying().roll(3).step();
    is_latched(taken.instructor(1, points(3)).step());
}

/// Given a takeover whose stick is free again, when a stick with `keep` moves in the dwell, then it joins the takeover
/// and latches.
/// Rules: H2
#[test]
fn a_stick_with_keep_that_moves_in_the_dwell_latches() {
    let in_dwell = lesson_with(keeps::<2>()).student_flying().roll(3).step().roll(0).steps(4);
    is_latched(in_dwell.instructor_has_the_craft().instructor(1, points(3)).step());
}

/// Given scope `Axis` and an axis with `keep` that is held before the takeover, when another axis begins the takeover,
/// then the `keep` sets no latch, however long its axis stays held. When that axis becomes free and held again in the
/// takeover, its `keep` sets the latch. So does the `keep` of each axis that becomes held in the step that begins the
/// takeover.
/// Rules: H2
#[test]
fn keep_asks_the_axes_that_become_held_and_none_held_before() {
    let policy = with!(keeps::<3>(), scope: Scope::Axis);
    let held_before = || lesson_with(policy).instructor(1, points(3)).steps(10).off_first_and_on().pass(ms(1000));
    let taken = || held_before().holds(&[1]).student_has(axes(&[0, 2])).roll(3).step().holds(&[0, 1]);
    is_not_latched(taken());
    is_not_latched(taken().pass(ms(3000)));
    is_not_latched(taken().instructor(1, points(60)).pass(ms(500)));
    is_latched(taken().instructor(1, CENTRE).step().holds(&[0]).instructor(1, points(3)).step());
    // An axis with `keep` joins a takeover that is on, or begins one together with another axis.
    let flying = || lesson_with(policy).student_flying();
    is_latched(flying().roll(3).step().instructor(1, points(3)).step());
    is_latched(flying().roll(3).instructor(1, points(3)).step());
    is_latched(flying().instructor(1, points(3)).instructor(2, points(3)).step());
    is_not_latched(flying().roll(3).instructor(2, points(3)).step());
}

/// Given a stick with `keep`, when it moves before the student had the craft, then nothing latches.
/// Rules: H2
#[test]
fn a_stick_with_keep_before_the_student_flew_latches_nothing() {
    let moved = lesson_with(keeps::<2>()).instructor(1, points(3)).steps(10).off_first_and_on().steps(3);
    is_not_latched(moved.holds(&[1]));
    // The same in the dwell.
    is_not_latched(lesson_with(keeps::<2>()).off_first_and_on().steps(5).instructor(1, points(3)).step().holds(&[1]));
}

/// Given an unsprung stick at power-up, when it is held without a rest, then nothing latches.
/// Rules: H2, R2
#[test]
fn an_unsprung_stick_without_a_rest_latches_nothing() {
    let policy = with!(bare(), axes: [AxisRule::sprung(), unsprung()], dwell: ms(100));
    lesson_with(policy).off_first_and_on().pass(ms(1000)).student_has_all();
}

/// Given a craft taken by the switch, when a stick with `keep` moves, then there is no stick takeover and nothing
/// latches.
/// Rules: H2
#[test]
fn a_stick_moved_after_the_switch_took_over_latches_nothing() {
    let off = lesson_with(keeps::<2>()).student_flying().switch_off().step().because(Cause::SwitchOff);
    is_not_latched(off.instructor(1, points(3)).step().switch_on());
}

/// Given a stick with `keep`, when it becomes held in the step in which something else takes the craft, then it
/// latches.
/// Rules: H2
#[test]
fn keep_latches_though_something_else_takes_the_craft_too() {
    // A switch that bounces: off for less than `settle`.
    let both = lesson_with(keeps::<2>()).student_flying().instructor(1, points(3)).switch_off().step();
    is_latched(both.because(Cause::SwitchOff).switch_on());
    let policy = with!(keeps::<2>(), off_first_after_loss: false);
    let link = lesson_with(policy).student_flying().student_frames(false).pass(ms(140)).instructor(1, points(3)).step();
    is_latched(link.because(Cause::LinkLost).student_frames(true));
}

/// Given scope `Axis`, when a stick with `keep` takes an axis that the student did not have, then nothing latches.
/// Rules: H2, T5
#[test]
fn keep_on_an_axis_that_the_student_had_not_latches_nothing() {
    let mut policy = with!(keeps::<2>(), scope: Scope::Axis);
    policy.axes[1].window = Some(points(20));
    let partly = lesson_with(policy).student(1, points(50)).off_first_and_on().steps(20).student_has(axes(&[0]));
    let moved = partly.instructor(1, points(3)).step().holds(&[1]).student_has(axes(&[0]));
    is_not_latched(moved.student(1, CENTRE));
}

/// Given scope `Axis`, when a stick with `keep` takes its axis, then the latch takes the other axes in that step.
/// Rules: H2, T5
#[test]
fn in_scope_axis_keep_takes_the_other_axes_in_that_step() {
    let policy = with!(keeps::<3>(), scope: Scope::Axis);
    let taken = lesson_with(policy).student_flying().instructor(1, points(3)).step();
    is_latched(taken.instructor_has_the_craft().because(Cause::Stick(1)));
}

/// Given a takeover that ended when the set grew, when a stick with `keep` takes an axis that the student does not
/// have, then nothing latches.
/// Rules: H2
#[test]
fn a_takeover_ended_by_growth_does_not_latch_later() {
    let mut policy = with!(keeps::<3>(), scope: Scope::Axis);
    policy.axes[1].window = Some(points(20));
    let flying = lesson_with(policy).student_flying().student(1, points(50)).roll(3).step().switch_off().step();
    let again = flying.switch_on().roll(0).steps(20).student_has(axes(&[0, 2]));
    // The takeover of axis 0 ended when the set grew. The student does not have axis 1: its gate is closed.
    is_not_latched(again.instructor(1, points(3)).step().holds(&[1]).student(1, CENTRE));
}

/// Given `lasted`, when the takeover has been on for that time, then it latches, and not before.
/// Rules: H2
#[test]
fn lasted_latches_once_the_takeover_is_that_old() {
    for (on, latched) in reached(ms(500)) {
        let taken = lesson_with(latches(Some(500), None)).student_flying().roll(3).step().pass(on);
        let let_go = taken.roll(0).instructor_frames(false).step_of(us(0)).instructor_frames(true);
        assert_eq!(let_go.outcome().waiting == Some(Waiting::Latch), latched);
    }
}

/// Given `lasted`, when the stick is let go and the takeover grows older than `lasted` in the dwell, then it latches
/// there.
/// Rules: H2
#[test]
fn lasted_counts_the_dwell_as_well() {
    is_latched(lesson_with(latches(Some(100), None)).student_flying().roll(3).step().roll(0).steps(2));
    is_not_latched(lesson_with(latches(Some(200), None)).student_flying().roll(3).step().roll(0).steps(2));
}

/// Given scope `Axis` and `lasted`, when the takeover lasts, then the latch takes the axes that the student still had.
/// Rules: H2, A1
#[test]
fn in_scope_axis_lasted_takes_what_the_student_still_had() {
    let policy = with!(latches(Some(500), None), scope: Scope::Axis);
    let taken = lesson_with(policy).student(1, points(30)).student_flying().roll(3).step().pass(us(499_999));
    let latched = taken.student_has(axes(&[1])).step_of(us(1)).instructor_has_the_craft().because(Cause::Latch);
    latched.outputs(1, CENTRE);
}

/// Given `lasted`, when every takeover is shorter, then their times do not add up.
/// Rules: H2
#[test]
fn the_times_of_short_takeovers_do_not_add_up() {
    let mut lesson = lesson_with(latches(Some(400), None)).student_flying();
    for _ in 0..20 {
        lesson = lesson.roll(3).steps(10).roll(0).steps(8).student_has_all();
    }
}

/// Given no `lasted`, when a takeover goes on for longer than the clock's whole range, then it does not latch.
/// Rules: H2, N1
#[test]
fn without_lasted_a_takeover_past_the_clock_latches_nothing() {
    let long = us(1 << 31);
    let slow = with!(latches(None, None), late_step: long, timeout: long, failsafe_after: long);
    let mut lesson = lesson_with(slow).student_flying().roll(3).step();
    for _ in 0..5 {
        lesson = lesson.step_of(long).holds(&[0]).waits_for(Waiting::Held(0));
    }
    is_not_latched(lesson);
}

/// Given `lasted` 0, when a stick takes over, then it latches in that step.
/// Rules: H2
#[test]
fn lasted_0_latches_in_the_step_of_the_takeover() {
    is_latched(lesson_with(latches(Some(0), None)).student_flying().roll(3).step().waits_for(Waiting::Latch));
}

/// Given `lasted`, when the student never had the craft, then nothing latches.
/// Rules: H2
#[test]
fn lasted_latches_nothing_before_the_student_ever_flew() {
    is_not_latched(lesson_with(latches(Some(100), None)).roll(3).off_first_and_on().pass(ms(5000)).holds(&[0]));
}

/// Given `beyond`, when a watched stick is further than that from its rest, then it latches. One unit less and it does
/// not.
/// Rules: H2
#[test]
fn a_stick_further_than_beyond_from_its_rest_latches() {
    for rest in [CENTRE, points(10)] {
        for (stick, latched) in beyond(rest, points(50)) {
            let mut policy = latches(None, Some(50));
            policy.axes[0].rest = handback::Rest::At(rest);
            let taken = lesson_with(policy).instructor(0, rest).student_flying().instructor(0, stick).step();
            let taken = taken.because(Cause::Stick(0)).instructor(0, rest).pass(ms(3000));
            taken.student_has_all_if(!latched);
        }
    }
}

/// Given `beyond`, when the stick gets that far later in the takeover, then it latches in that step.
/// Rules: H2
#[test]
fn beyond_latches_when_the_stick_gets_there_later() {
    let taken = lesson_with(latches(None, Some(50))).student_flying().roll(3).steps(50).waits_for(Waiting::Held(0));
    is_latched(taken.roll(-51).step().waits_for(Waiting::Latch));
}

/// Given `beyond`, when the student never had the craft, then nothing latches.
/// Rules: H2
#[test]
fn beyond_latches_nothing_before_the_student_ever_flew() {
    is_not_latched(lesson_with(latches(None, Some(50))).roll(100).off_first_and_on().steps(20));
}

/// Given `beyond`, when the stick that is far out is not watched, then it does not latch.
/// Rules: H2
#[test]
fn beyond_ignores_an_axis_that_is_not_watched() {
    let policy = with!(latches(None, Some(50)), watched: axes(&[0]));
    is_not_latched(lesson_with(policy).student_flying().instructor(1, points(100)).steps(5).roll(3).step());
}

/// Given `beyond`, when an unsprung stick is pulled that far from the place where it was left, then it latches.
/// Rules: H2, R2
#[test]
fn beyond_counts_from_where_an_unsprung_stick_was_left() {
    let mut policy = latches(None, Some(50));
    policy.axes[1] = with!(unsprung(), keep: false);
    let left = lesson_with(policy).instructor(1, points(-60)).student(1, points(-60)).pass(ms(600)).student_flying();
    let nudged = left.clone().instructor(1, points(-10)).step().because(Cause::Stick(1));
    nudged.pass(ms(3000)).student_has_all();
    let grabbed = left.instructor(1, around(points(-10), 1)).step().because(Cause::Stick(1));
    grabbed.pass(ms(3000)).instructor_has_the_craft().waits_for(Waiting::Latch);
}

/// Given a latch that is set and cleared in one step, when the step is over, then it is cleared.
/// Rules: H2, S3
#[test]
fn clearing_the_latch_wins_over_setting_it() {
    let policy = with!(bare::<2>(), settle: ms(30), dwell: ms(100));
    let off = lesson_with(policy).student_flying().switch_off().step().pass(ms(30));
    // Instructor now is asked for while the switch has been off for `settle`: each step sets and clears the latch.
    let cleared = off.instructor_now(true).steps(5).instructor_now(false).switch_on().step();
    cleared.pass(ms(30)).pass(ms(100)).student_has_all();
}

/// Given instructor now, when the switch has been off for less than `settle`, then it latches.
/// Rules: H2, S3, T7
#[test]
fn instructor_now_latches_if_off_for_less_than_settle() {
    let policy = with!(bare::<2>(), settle: ms(30), dwell: ms(100));
    for (off, cleared) in reached(ms(30)) {
        let asked = lesson_with(policy).student_flying().switch_off().instructor_now(true).step().instructor_now(false);
        asked.pass(off).switch_on().step().pass(ms(30)).pass(ms(100)).student_has_all_if(cleared);
    }
}

/// Given a bad frame that took the craft, when a stick with `keep` moves in the dwell, then it latches.
/// Rules: H2, T4
#[test]
fn a_stick_with_keep_after_a_bad_frame_latches() {
    let slammed = lesson_with(keeps::<2>()).student_flying().step_with_bad_frame().because(Cause::BadFrame);
    is_not_latched(slammed.clone());
    is_latched(slammed.clone().instructor(1, points(3)).step());
    // The takeover that the bad frame began is over once the set has grown.
    let grown = slammed.steps(6).student_has_all().switch_off().step().switch_on();
    is_not_latched(grown.instructor(1, points(3)).step());
}

/// Given a bad frame, when the student had nothing, then there is no takeover and nothing latches.
/// Rules: H2, T4
#[test]
fn a_bad_frame_while_the_student_had_nothing_latches_nothing() {
    let nothing = lesson_with(keeps::<2>()).off_first_and_on().steps(3).step_with_bad_frame();
    is_not_latched(nothing.instructor(1, points(3)).step());
}

/// Given a bad frame that took the craft, when the takeover lasts or a stick is far out, then it latches as after a
/// stick.
/// Rules: H2, T4
#[test]
fn a_takeover_by_a_bad_frame_latches_like_one_by_a_stick() {
    for (on, latched) in reached(ms(90)) {
        let slammed = lesson_with(latches(Some(90), None)).student_flying().step_with_bad_frame().pass(on);
        assert_eq!(slammed.outcome().waiting == Some(Waiting::Latch), latched);
    }
    // A stick that is further out than `beyond` when good frames come again.
    let slammed = lesson_with(latches(None, Some(50))).student_flying().step_with_bad_frame();
    is_not_latched(slammed.clone().roll(50).step());
    is_latched(slammed.roll(51).step());
}

/// Given a policy without latches, when the instructor holds a stick for long and far out, then the craft is still
/// handed back.
/// Rules: H2
#[test]
fn without_latches_a_long_and_far_takeover_goes_back() {
    is_not_latched(lesson_with(latches(None, None)).student_flying().roll(125).pass(ms(60_000)));
}
