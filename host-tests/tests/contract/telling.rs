//! A: the events and what the outcome says is waited for.

use handback::{AxisSet, Cause, Event, Latches, Pilot, Scope, Waiting};
use handback_host_tests::{Lesson, axes, bare, lesson, lesson_with, ms, points, sprung, us, with};

/// Given a whole lesson, when who flies changes, then there is one event for each change, and it says who, why and
/// when.
/// Rules: A1
#[test]
fn each_change_is_one_event_that_says_who_why_and_when() {
    let all = Pilot::with_student(AxisSet::first(4));
    let lesson = lesson().student_flying().has_announced(1).roll(3).step();
    let taken = lesson.outcome().at;
    let lesson = lesson.steps(10).roll(0).pass(ms(400)).has_announced(3);
    let expected = Event { at: taken, from: all, to: Pilot::Instructor, cause: Cause::Stick(0) };
    assert_eq!(lesson.events()[1], expected);
    let expected = (Pilot::Instructor, all, Cause::HandedBack);
    assert_eq!((lesson.events()[2].from, lesson.events()[2].to, lesson.events()[2].cause), expected);
}

/// Given no change of who flies, when anything else happens, then nothing is announced.
/// Rules: A1
#[test]
fn without_a_change_nothing_is_announced() {
    let busy = lesson().roll(3).steps(20).instructor_now(true).step().instructor_now(false).step_with_bad_frame();
    let busy = busy.student_frames(false).pass(ms(1000)).switch_on().step().step_of(ms(260)).step();
    let off_again = busy.instructor_frames(false).pass(ms(200)).instructor_frames(true).step();
    off_again.instructor_has_the_craft().has_announced(0);
}

/// Given scope `Axis`, when the student's set shrinks or grows, then the change is announced.
/// Rules: A1
#[test]
fn in_scope_axis_each_change_of_the_set_is_announced() {
    let policy = with!(bare::<3>(), scope: Scope::Axis);
    let shrunk = lesson_with(policy).student_flying().instructor(2, points(3)).step().because(Cause::Stick(2));
    let event = shrunk.outcome().event.expect("asked above");
    assert_eq!((event.from.student(), event.to.student()), (AxisSet::first(3), axes(&[0, 1])));
    let shrunk = shrunk.step().unannounced().instructor(0, points(3)).step().because(Cause::Stick(0));
    let grown = shrunk.instructor(0, points(0)).step().unannounced().step().because(Cause::HandedBack);
    let event = grown.outcome().event.expect("asked above");
    assert_eq!((event.from.student(), event.to.student()), (axes(&[1]), axes(&[0, 1])));
}

/// Given several sticks, when they become held at once, then the cause is the lowest of them and not one held before.
/// Rules: A1
#[test]
fn the_cause_is_the_lowest_axis_that_became_held() {
    let flying = || lesson().student_flying();
    let taken = flying().instructor_sticks([points(0), points(3), points(0), points(-3)]).step();
    taken.because(Cause::Stick(1));
    let policy = with!(bare::<4>(), scope: Scope::Axis);
    let one = lesson_with(policy).student_flying().roll(3).step().because(Cause::Stick(0));
    one.instructor(3, points(3)).instructor(2, points(3)).step().because(Cause::Stick(2));
}

/// The causes that take the craft, in the contract's order.
const CAUSES: [Cause; 8] = [
    Cause::LateStep,
    Cause::InstructorLost,
    Cause::InstructorNow,
    Cause::BadFrame,
    Cause::SwitchOff,
    Cause::LinkFrozen,
    Cause::LinkLost,
    Cause::Stick(0),
];

/// Makes the next step give this cause among others. Raises `dt`, the length of that step, where the cause needs it.
fn provoke(lesson: Lesson<2>, cause: Cause, dt: &mut u32) -> Lesson<2> {
    match cause {
        Cause::LateStep => {
            *dt = (*dt).max(250_001);
            lesson
        }
        // The instructor's last frame is 120 ms old. A step more than 30 ms later finds it past `timeout`.
        Cause::InstructorLost => {
            *dt = (*dt).max(30_001);
            lesson
        }
        // The student's last change is 130 ms old. A step more than 5 ms later that brings a frame finds the link frozen.
        Cause::LinkFrozen => {
            *dt = (*dt).max(5_001);
            lesson
        }
        Cause::LinkLost => {
            *dt = (*dt).max(25_000);
            lesson.student_frames(false)
        }
        Cause::InstructorNow => lesson.instructor_now(true),
        Cause::BadFrame => lesson.instructor(1, points(199)),
        Cause::SwitchOff => lesson.switch_off(),
        Cause::Stick(axis) => lesson.instructor(axis, points(3)),
        Cause::InstructorBack | Cause::Latch | Cause::HandedBack => unreachable!("not one that takes the craft"),
    }
}

/// Given two causes in one step, when the craft is taken, then the event names the first in the contract's order.
/// Rules: A1
#[test]
fn the_first_of_two_causes_is_announced() {
    for (place, &first) in CAUSES.iter().enumerate() {
        for &second in &CAUSES[place..] {
            // A bad frame moves no stick, and a frozen link that is too old is lost.
            if [(Cause::BadFrame, Cause::Stick(0)), (Cause::LinkFrozen, Cause::LinkLost)].contains(&(first, second)) {
                continue;
            }
            // Ages in the step before: instructor 120 ms, student 130 ms.
            let policy = with!(bare::<2>(), frozen_after: Some(ms(135)));
            let flying = lesson_with(policy).student_flying().student(0, points(1)).step();
            let flying = flying.student_frames(false).step_of(ms(10));
            let aged = flying.instructor_frames(false).pass(ms(120)).student_has_all();
            let mut dt = 1000;
            let aged = aged.instructor_frames(true).student_frames(true);
            let lesson = provoke(provoke(aged, second, &mut dt), first, &mut dt);
            lesson.step_of(us(dt)).because(first);
        }
    }
}

/// Given all causes in one step but a frozen link, which is lost where it is too old, when they are removed one by one, then the event names the first of those left.
/// Rules: A1
#[test]
fn the_first_of_the_causes_that_are_left_is_announced() {
    let causes: Vec<Cause> = CAUSES.into_iter().filter(|&cause| cause != Cause::LinkFrozen).collect();
    for place in 0..causes.len() {
        let flying = lesson_with(bare::<2>()).student_flying().student_frames(false).step_of(ms(10));
        let aged = flying.instructor_frames(false).pass(ms(120)).instructor_frames(true).student_frames(true);
        let (mut lesson, mut dt) = (aged, 1000);
        for &cause in &causes[place..] {
            lesson = provoke(lesson, cause, &mut dt);
        }
        lesson.step_of(us(dt)).because(causes[place]);
    }
}

/// Given that nobody flies, when the signal comes back, then that is the cause before all others but a late step.
/// Rules: A1, I2
#[test]
fn signal_back_comes_before_all_causes_but_a_late_step() {
    let nobody = || lesson().student_flying().instructor_frames(false).pass(ms(1100)).instructor_frames(true);
    nobody().instructor_now(true).switch_off().roll(3).step().because(Cause::InstructorBack);
    nobody().step_of(us(250_001)).because(Cause::LateStep);
}

/// Given a stick and a latch, when they take the craft in one step, then the cause is the stick; in a later step it is
/// the latch.
/// Rules: A1, H2
#[test]
fn a_stick_comes_before_the_latch_that_it_sets() {
    let latches = Latches { lasted: None, beyond: Some(points(50)) };
    let policy = with!(bare::<3>(), scope: Scope::Axis, latches: latches);
    let grabbed = lesson_with(policy).student_flying().roll(60).step().instructor_has_the_craft();
    grabbed.because(Cause::Stick(0));
    let nudged = lesson_with(policy).student_flying().roll(3).step().roll(60).step();
    nudged.instructor_has_the_craft().because(Cause::Latch);
}

/// Given a student who has all shared axes, when the outcome is read, then nothing is waited for.
/// Rules: A2
#[test]
fn with_all_shared_axes_the_student_waits_for_nothing() {
    assert_eq!(lesson().student_flying().outcome().waiting, None);
    let none_shared = with!(sprung::<2>(), shared: AxisSet::EMPTY);
    assert_eq!(lesson_with(none_shared).roll(3).instructor_now(true).step().outcome().waiting, None);
}

/// Given that everything is missing, when it comes one by one, then the outcome names the first missing thing in the
/// contract's order.
/// Rules: A2
#[test]
fn the_first_missing_thing_in_order_is_named() {
    let mut policy = sprung::<4>();
    policy.axes[1].window = Some(points(5));
    policy.axes[3].window = Some(points(5));
    let apart = [points(0), points(50), points(0), points(50)];
    let lost = lesson_with(policy).student_sticks(apart).student_frames(false).instructor_frames(false).step();
    let lost = lost.switch_on().roll(3).instructor(2, points(-3)).step().waits_for(Waiting::InstructorSignal);
    // The switch was seen off in one step only: for less than `settle`.
    let back = lost.instructor_frames(true).step().waits_for(Waiting::SwitchOffFirst);
    let off = back.switch_off().step().waits_for(Waiting::Switch).pass(ms(40)).waits_for(Waiting::Switch);
    let latched = off.switch_on().instructor_now(true).step().waits_for(Waiting::Settling { left: ms(30) });
    let latched = latched.instructor_now(false).step().waits_for(Waiting::Settling { left: ms(10) });
    let latched = latched.step().waits_for(Waiting::Latch).pass(ms(1000)).waits_for(Waiting::Latch);
    // Off for `settle` clears the latch. Once the switch is on again and settled, the link comes next.
    let cleared = latched.off_first_and_on().step().waits_for(Waiting::Settling { left: ms(30) }).pass(ms(30));
    let no_link = cleared.waits_for(Waiting::StudentLink { left: ms(1000) });
    let qualifying = no_link.student_frames(true).step().waits_for(Waiting::StudentLink { left: ms(1000) });
    let qualifying = qualifying.pass(us(999_999)).waits_for(Waiting::StudentLink { left: us(1) });
    let held = qualifying.step_of(us(1)).waits_for(Waiting::Held(0));
    let held = held.roll(0).step().waits_for(Waiting::Held(2)).instructor(2, points(0)).step();
    let dwell = held.waits_for(Waiting::Dwell { left: ms(300) }).step().waits_for(Waiting::Dwell { left: ms(300) });
    let dwell = dwell.pass(us(299_999)).waits_for(Waiting::Dwell { left: us(1) });
    let gated = dwell.step_of(us(1)).waits_for(Waiting::Gate(1));
    let gated = gated.student(1, points(0)).step().waits_for(Waiting::Gate(3));
    let flying = gated.student(3, points(0)).step().student_has_all();
    assert_eq!(flying.outcome().waiting, None);
}

/// Given a lost link, when it is waited for, then all of `requalify` is left.
/// Rules: A2, L3
#[test]
fn a_lost_link_leaves_all_of_requalify() {
    let policy = with!(sprung::<2>(), off_first_after_loss: false);
    let lost = lesson_with(policy).student_flying().student_frames(false).pass(ms(140)).step();
    let lost = lost.because(Cause::LinkLost).waits_for(Waiting::StudentLink { left: ms(1000) });
    let lost = lost.pass(ms(5000)).waits_for(Waiting::StudentLink { left: ms(1000) });
    let back = lost.student_frames(true).step().waits_for(Waiting::StudentLink { left: ms(1000) });
    back.pass(ms(400)).waits_for(Waiting::StudentLink { left: ms(600) });
}

/// Given that only a good frame is missing, when the dwell is over, then a dwell with 0 left is waited for.
/// Rules: A2, H1
#[test]
fn a_missing_good_frame_is_a_dwell_with_nothing_left() {
    let policy = with!(bare::<2>(), dwell: ms(300));
    let almost = lesson_with(policy).off_first_and_on().step().pass(ms(280)).waits_for(Waiting::Dwell { left: ms(20) });
    almost.step_without_instructor().waits_for(Waiting::Dwell { left: us(0) });
}

/// Given a row that has begun and nothing else missing, when the dwell is over, then a dwell with 0 left is waited for.
/// Rules: A2, H1, T1
#[test]
fn a_row_that_has_begun_is_a_dwell_with_nothing_left() {
    let mut policy = with!(bare::<2>(), dwell: ms(300));
    policy.axes[1].confirm = 2;
    let almost = lesson_with(policy).off_first_and_on().step().pass(ms(280));
    let moving = almost.instructor(1, points(3)).step().holds(&[]).waits_for(Waiting::Dwell { left: us(0) });
    moving.instructor(1, points(2)).step().student_has_all();
}

/// Given a bad frame, when the dwell has not begun, then all of it is left.
/// Rules: A2, T4
#[test]
fn after_a_bad_frame_all_of_the_dwell_is_left() {
    let policy = with!(bare::<2>(), dwell: ms(300));
    lesson_with(policy).student_flying().step_with_bad_frame().waits_for(Waiting::Dwell { left: ms(300) });
}

/// Given a switch that is seen off, when it is not seen off first either, then the switch is named.
/// Rules: A2, S2
#[test]
fn a_switch_seen_off_is_named_before_off_first() {
    lesson().step().waits_for(Waiting::Switch).switch_on().step().waits_for(Waiting::SwitchOffFirst);
}

/// Given scope `Axis`, when the student has some axes, then the outcome names what the others wait for.
/// Rules: A2
#[test]
fn in_scope_axis_what_the_other_axes_wait_for_is_named() {
    let mut policy = with!(bare::<3>(), scope: Scope::Axis, dwell: ms(300));
    policy.axes[2].window = Some(points(5));
    let flying = lesson_with(policy).student_flying().student(2, points(50)).instructor(2, points(3)).step();
    let held = flying.student_has(axes(&[0, 1])).waits_for(Waiting::Held(2));
    let free = held.instructor(2, points(0)).step().waits_for(Waiting::Dwell { left: ms(300) });
    free.step().pass(ms(100)).waits_for(Waiting::Dwell { left: ms(200) }).pass(ms(200)).waits_for(Waiting::Gate(2));
}

/// Given scope `Axis`, when the sticks of an axis that the student has move apart, then its gate is not waited for.
/// Rules: A2, H3
#[test]
fn the_gate_of_an_axis_that_the_student_has_is_not_named() {
    let mut policy = with!(bare::<3>(), scope: Scope::Axis);
    policy.axes[0].window = Some(points(5));
    policy.axes[2].window = Some(points(5));
    let flying = lesson_with(policy).student(2, points(50)).off_first_and_on().step().student_has(axes(&[0, 1]));
    flying.student(0, points(50)).step().student_has(axes(&[0, 1])).waits_for(Waiting::Gate(2));
}

/// Given a signal lost and back in one step, when the outcome tells what is missing, then it is not the signal.
/// Rules: A2, I1
#[test]
fn a_signal_lost_and_back_in_one_step_is_not_waited_for() {
    lesson().student_flying().step_of(us(150_001)).waits_for(Waiting::SwitchOffFirst);
}
