//! H2: what keeps the craft with the instructor until the switch has been off.

use handback::{AxisRule, Cause, Deflection, Latches, Policy, Scope, Waiting};
use handback_host_tests::{Lesson, around, axes, bare, beyond, lesson_with, ms, points, reached, unsprung, us};

const CENTRE: Deflection = Deflection::CENTRE;

/// Axis 1 keeps the craft when it takes part in a takeover.
fn keeps<const N: usize>() -> Policy<N> {
    let mut policy = Policy { settle: ms(30), dwell: ms(100), ..bare() };
    policy.axes[1].keep = true;
    policy
}

fn latches(lasted: Option<u32>, beyond: Option<i16>) -> Policy<2> {
    let latches = Latches { lasted: lasted.map(ms), beyond: beyond.map(points) };
    Policy { latches, settle: ms(30), dwell: ms(100), ..bare() }
}

/// All sticks are let go, and the craft stays with the instructor for the latch alone.
fn is_latched<const N: usize>(lesson: Lesson<N>) -> Lesson<N> {
    lesson.instructor_sticks([CENTRE; N]).pass(ms(3000)).holds(&[]).instructor_has_the_craft().waits_for(Waiting::Latch)
}

/// All sticks are let go, and the craft goes back.
fn is_not_latched<const N: usize>(lesson: Lesson<N>) -> Lesson<N> {
    lesson.instructor_sticks([CENTRE; N]).pass(ms(3000)).holds(&[]).student_has_all()
}

/// Rules: H2
#[test]
fn given_a_stick_that_keeps_when_it_takes_over_then_the_craft_stays_until_the_switch_has_been_off() {
    let kept = is_latched(lesson_with(keeps::<2>()).student_flying().instructor(1, points(3)).step());
    kept.armed_and_on().step().pass(ms(30)).pass(ms(100)).student_has_all();
}

/// Rules: H2
#[test]
fn given_a_stick_that_does_not_keep_when_it_takes_over_then_the_craft_goes_back_by_itself() {
    is_not_latched(lesson_with(keeps::<2>()).student_flying().roll(3).step());
}

/// Rules: H2
#[test]
fn given_a_takeover_by_another_stick_when_one_that_keeps_joins_then_it_latches() {
    let taken = lesson_with(keeps::<2>()).student_flying().roll(3).step();
    is_latched(taken.instructor(1, points(3)).step());
}

/// Rules: H2
#[test]
fn given_a_takeover_whose_stick_is_free_again_when_one_that_keeps_moves_in_the_dwell_then_it_joins_and_latches() {
    let in_dwell = lesson_with(keeps::<2>()).student_flying().roll(3).step().roll(0).steps(4);
    is_latched(in_dwell.instructor_has_the_craft().instructor(1, points(3)).step());
}

/// Given scope `Axis` and a stick with `keep` that is held while the student gets the other axis, when that other axis is
/// taken over, then the held one is not asked, however long it stays held; once it is let go and held again in the
/// takeover, it joins and latches. A stick that begins a takeover in the same step is asked, whichever axis is the lower.
///
/// Rules: H2
#[test]
fn keep_asks_the_axes_that_become_held_and_none_held_before() {
    let policy = Policy { scope: Scope::Axis, ..keeps::<3>() };
    let held_before = || lesson_with(policy).instructor(1, points(3)).steps(10).armed_and_on().pass(ms(1000));
    let taken = || held_before().holds(&[1]).student_has(axes(&[0, 2])).roll(3).step().holds(&[0, 1]);
    is_not_latched(taken());
    is_not_latched(taken().pass(ms(3000)));
    is_not_latched(taken().instructor(1, points(60)).pass(ms(500)));
    is_latched(taken().instructor(1, CENTRE).step().holds(&[0]).instructor(1, points(3)).step());
    // Neighbours: it joins while the takeover is on, or begins it together with another.
    let flying = || lesson_with(policy).student_flying();
    is_latched(flying().roll(3).step().instructor(1, points(3)).step());
    is_latched(flying().roll(3).instructor(1, points(3)).step());
    is_latched(flying().instructor(1, points(3)).instructor(2, points(3)).step());
    is_not_latched(flying().roll(3).instructor(2, points(3)).step());
}

/// Rules: H2
#[test]
fn given_a_stick_that_keeps_when_it_moves_before_the_student_had_the_craft_then_nothing_latches() {
    let moved = lesson_with(keeps::<2>()).instructor(1, points(3)).steps(10).armed_and_on().steps(3);
    is_not_latched(moved.holds(&[1]));
    // In the dwell, too.
    is_not_latched(lesson_with(keeps::<2>()).armed_and_on().steps(5).instructor(1, points(3)).step().holds(&[1]));
}

/// Rules: H2, R2
#[test]
fn given_an_unsprung_stick_at_power_up_when_it_is_held_without_a_rest_then_nothing_latches() {
    let policy = Policy { axes: [AxisRule::sprung(), unsprung()], dwell: ms(100), ..bare() };
    lesson_with(policy).armed_and_on().pass(ms(1000)).student_has_all();
}

/// Rules: H2
#[test]
fn given_a_craft_taken_by_the_switch_when_a_stick_that_keeps_moves_then_there_is_no_takeover_and_nothing_latches() {
    let off = lesson_with(keeps::<2>()).student_flying().switch_off().step().because(Cause::SwitchOff);
    is_not_latched(off.instructor(1, points(3)).step().switch_on());
}

/// Rules: H2
#[test]
fn given_a_stick_that_keeps_when_it_becomes_held_in_the_step_in_which_something_else_takes_the_craft_then_it_latches() {
    // A switch that bounces: off for less than settle.
    let both = lesson_with(keeps::<2>()).student_flying().instructor(1, points(3)).switch_off().step();
    is_latched(both.because(Cause::SwitchOff).switch_on());
    let policy = Policy { off_first_after_loss: false, ..keeps::<2>() };
    let link = lesson_with(policy).student_flying().student_frames(false).pass(ms(140)).instructor(1, points(3)).step();
    is_latched(link.because(Cause::LinkLost).student_frames(true));
}

/// Rules: H2, T5
#[test]
fn given_scope_axis_when_a_stick_that_keeps_takes_an_axis_that_the_student_had_not_then_nothing_latches() {
    let mut policy = Policy { scope: Scope::Axis, ..keeps::<2>() };
    policy.axes[1].window = Some(points(20));
    let partly = lesson_with(policy).student(1, points(50)).armed_and_on().steps(20).student_has(axes(&[0]));
    let moved = partly.instructor(1, points(3)).step().holds(&[1]).student_has(axes(&[0]));
    is_not_latched(moved.student(1, CENTRE));
}

/// Rules: H2, T5
#[test]
fn given_scope_axis_when_a_stick_that_keeps_takes_its_axis_then_the_latch_takes_the_rest_in_that_step() {
    let policy = Policy { scope: Scope::Axis, ..keeps::<3>() };
    let taken = lesson_with(policy).student_flying().instructor(1, points(3)).step();
    is_latched(taken.instructor_has_the_craft().because(Cause::Stick(1)));
}

/// Rules: H2
#[test]
fn given_a_takeover_that_has_ended_with_a_growth_when_a_stick_that_keeps_moves_unshared_then_nothing_latches() {
    // Axis 2 is held all along and takes nothing that the student has; axis 1 keeps.
    let mut policy = Policy { scope: Scope::Axis, ..keeps::<3>() };
    policy.axes[1].window = Some(points(20));
    let flying = lesson_with(policy).student_flying().student(1, points(50)).roll(3).step().switch_off().step();
    let again = flying.switch_on().roll(0).steps(20).student_has(axes(&[0, 2]));
    // The takeover of axis 0 ended when the set grew; axis 1, behind its gate, is not the student's.
    is_not_latched(again.instructor(1, points(3)).step().holds(&[1]).student(1, CENTRE));
}

/// Rules: H2
#[test]
fn given_lasted_when_the_takeover_has_been_on_that_long_then_it_latches_and_not_before() {
    for (on, latched) in reached(ms(500)) {
        let taken = lesson_with(latches(Some(500), None)).student_flying().roll(3).step().pass(on);
        let let_go = taken.roll(0).instructor_frames(false).step_of(us(0)).instructor_frames(true);
        assert_eq!(let_go.outcome().waiting == Some(Waiting::Latch), latched);
    }
}

/// Rules: H2
#[test]
fn given_lasted_when_the_stick_is_let_go_and_the_dwell_reaches_past_it_then_it_latches_in_the_dwell() {
    is_latched(lesson_with(latches(Some(100), None)).student_flying().roll(3).step().roll(0).steps(2));
    is_not_latched(lesson_with(latches(Some(200), None)).student_flying().roll(3).step().roll(0).steps(2));
}

/// Rules: H2, A1
#[test]
fn given_scope_axis_and_lasted_when_the_takeover_lasts_then_the_latch_takes_what_the_student_still_had() {
    let policy = Policy { scope: Scope::Axis, ..latches(Some(500), None) };
    let taken = lesson_with(policy).student(1, points(30)).student_flying().roll(3).step().pass(us(499_999));
    let latched = taken.student_has(axes(&[1])).step_of(us(1)).instructor_has_the_craft().because(Cause::Latch);
    latched.outputs(1, CENTRE);
}

/// Rules: H2
#[test]
fn given_lasted_when_every_takeover_is_short_then_their_times_do_not_add_up() {
    let mut lesson = lesson_with(latches(Some(400), None)).student_flying();
    for _ in 0..20 {
        lesson = lesson.roll(3).steps(10).roll(0).steps(8).student_has_all();
    }
}

/// Given no `lasted`, when a takeover goes on for longer than the clock's whole range, then it does not latch.
///
/// Rules: H2, N1
#[test]
fn given_no_lasted_when_a_takeover_outlasts_the_clock_then_nothing_latches() {
    let long = us(1 << 31);
    let slow = Policy { late_step: long, timeout: long, failsafe_after: long, ..latches(None, None) };
    let mut lesson = lesson_with(slow).student_flying().roll(3).step();
    for _ in 0..5 {
        lesson = lesson.step_of(long).holds(&[0]).waits_for(Waiting::Held(0));
    }
    is_not_latched(lesson);
}

/// Rules: H2
#[test]
fn given_lasted_0_when_a_stick_takes_over_then_it_latches_in_that_step() {
    is_latched(lesson_with(latches(Some(0), None)).student_flying().roll(3).step().waits_for(Waiting::Latch));
}

/// Rules: H2
#[test]
fn given_lasted_when_the_instructor_never_handed_over_then_nothing_latches() {
    is_not_latched(lesson_with(latches(Some(100), None)).roll(3).armed_and_on().pass(ms(5000)).holds(&[0]));
}

/// Rules: H2
#[test]
fn given_beyond_when_a_watched_stick_is_further_than_that_from_its_rest_then_it_latches_and_a_unit_less_it_does_not() {
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

/// Rules: H2
#[test]
fn given_beyond_when_the_stick_gets_there_later_in_the_takeover_then_it_latches_then() {
    let taken = lesson_with(latches(None, Some(50))).student_flying().roll(3).steps(50).waits_for(Waiting::Held(0));
    is_latched(taken.roll(-51).step().waits_for(Waiting::Latch));
}

/// Rules: H2
#[test]
fn given_beyond_when_the_student_never_had_the_craft_then_nothing_latches() {
    is_not_latched(lesson_with(latches(None, Some(50))).roll(100).armed_and_on().steps(20));
}

/// Rules: H2
#[test]
fn given_beyond_when_the_stick_that_is_far_out_is_not_watched_then_it_does_not_latch() {
    let policy = Policy { watched: axes(&[0]), ..latches(None, Some(50)) };
    is_not_latched(lesson_with(policy).student_flying().instructor(1, points(100)).steps(5).roll(3).step());
}

/// Rules: H2, R2
#[test]
fn given_beyond_when_an_unsprung_stick_is_pulled_far_from_where_it_was_left_then_it_latches() {
    let mut policy = latches(None, Some(50));
    policy.axes[1] = AxisRule { keep: false, ..unsprung() };
    let left = lesson_with(policy).instructor(1, points(-60)).student(1, points(-60)).pass(ms(600)).student_flying();
    let nudged = left.clone().instructor(1, points(-10)).step().because(Cause::Stick(1));
    nudged.pass(ms(3000)).student_has_all();
    let grabbed = left.instructor(1, around(points(-10), 1)).step().because(Cause::Stick(1));
    grabbed.pass(ms(3000)).instructor_has_the_craft().waits_for(Waiting::Latch);
}

/// Rules: H2, S3
#[test]
fn given_what_sets_and_what_clears_at_once_then_clearing_wins() {
    let policy = Policy { settle: ms(30), dwell: ms(100), ..bare::<2>() };
    let off = lesson_with(policy).student_flying().switch_off().step().pass(ms(30));
    // Asked for while the switch has been off for settle: set and cleared in every step.
    let cleared = off.instructor_now(true).steps(5).instructor_now(false).switch_on().step();
    cleared.pass(ms(30)).pass(ms(100)).student_has_all();
}

/// Rules: H2, S3, T7
#[test]
fn given_instructor_now_when_the_switch_has_been_off_for_less_than_settle_then_it_latches() {
    let policy = Policy { settle: ms(30), dwell: ms(100), ..bare::<2>() };
    for (off, cleared) in reached(ms(30)) {
        let asked = lesson_with(policy).student_flying().switch_off().instructor_now(true).step().instructor_now(false);
        asked.pass(off).switch_on().step().pass(ms(30)).pass(ms(100)).student_has_all_if(cleared);
    }
}

/// Rules: H2, T4
#[test]
fn given_a_bad_frame_that_took_the_craft_when_a_stick_that_keeps_moves_in_the_dwell_then_it_latches() {
    let slammed = lesson_with(keeps::<2>()).student_flying().step_with_bad_frame().because(Cause::BadFrame);
    is_not_latched(slammed.clone());
    is_latched(slammed.clone().instructor(1, points(3)).step());
    // After the set has grown, the takeover that the bad frame began is over.
    let grown = slammed.steps(6).student_has_all().switch_off().step().switch_on();
    is_not_latched(grown.instructor(1, points(3)).step());
}

/// Rules: H2, T4
#[test]
fn given_a_bad_frame_when_the_student_had_nothing_then_there_is_no_takeover_and_nothing_latches() {
    let nothing = lesson_with(keeps::<2>()).armed_and_on().steps(3).step_with_bad_frame();
    is_not_latched(nothing.instructor(1, points(3)).step());
}

/// Rules: H2, T4
#[test]
fn given_a_bad_frame_that_took_the_craft_when_the_takeover_lasts_then_it_latches_as_if_a_stick_had_taken_it() {
    for (on, latched) in reached(ms(90)) {
        let slammed = lesson_with(latches(Some(90), None)).student_flying().step_with_bad_frame().pass(on);
        assert_eq!(slammed.outcome().waiting == Some(Waiting::Latch), latched);
    }
    // And a stick that is far out when good frames come again.
    let slammed = lesson_with(latches(None, Some(50))).student_flying().step_with_bad_frame();
    is_not_latched(slammed.clone().roll(50).step());
    is_latched(slammed.roll(51).step());
}

/// Rules: H2
#[test]
fn given_no_latch_in_the_policy_when_the_instructor_holds_on_for_long_and_far_then_the_craft_still_goes_back() {
    is_not_latched(lesson_with(latches(None, None)).student_flying().roll(125).pass(ms(60_000)));
}
