//! The order of the causes (A1) and of the things waited for (A2).

use super::*;
use crate::{Cause, Scope, Waiting};

fn cause<const N: usize>(outcome: &Outcome<N>) -> Option<Cause> {
    outcome.event.map(|event| event.cause)
}

#[test]
fn the_cause_is_the_first_that_applies_a1() {
    // All causes at once, then each time without the first one.
    let policy = sprung().check().unwrap();
    let bad = Some([32767, 0]);
    let grabbed = Some([400, 0]);
    // (dt, frames stopped before: instructor's, student's; instructor's frame, button, switch)
    for (dt, stopped, instructor, button, on, expected) in [
        (250 * MS + 1, (true, true), bad, true, false, Cause::LateStep),
        (10 * MS, (true, true), bad, true, false, Cause::InstructorLost),
        (10 * MS, (true, true), grabbed, true, false, Cause::InstructorLost),
        (10 * MS, (false, true), bad, true, false, Cause::InstructorNow),
        (10 * MS, (false, true), bad, false, false, Cause::BadFrame),
        (10 * MS, (false, true), grabbed, false, false, Cause::SwitchOff),
        (10 * MS, (false, true), grabbed, false, true, Cause::LinkLost),
        (10 * MS, (false, false), grabbed, false, true, Cause::Stick(0)),
    ] {
        let mut lesson = Lesson::flown(&policy, [0, 0]);
        lesson.instructor = (!stopped.0).then_some([0, 0]);
        lesson.student = (!stopped.1).then_some([0, 0]);
        let _ = lesson.run(5);
        (lesson.instructor, lesson.button, lesson.on) = (instructor, button, on);
        assert_eq!(cause(&lesson.after(dt)), Some(expected));
    }
}

/// Given several held sticks, when some become held in this step, then the cause is the lowest of those.
#[test]
fn the_cause_names_the_lowest_stick_that_became_held_a1() {
    let policy = Policy { scope: Scope::Axis, ..quick([AxisRule::sprung(); 3]) }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0, 0]);
    assert_eq!(cause(&lesson.move_to([0, 400, 400])), Some(Cause::Stick(1)));
    assert_eq!(cause(&lesson.move_to([400, 400, 400])), Some(Cause::Stick(0)));
}

#[test]
fn nothing_is_announced_without_a_change_a1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    for sticks in [[0, 0], [400, 0], [400, 400], [0, 0]] {
        let before = lesson.step().pilot;
        let outcome = lesson.move_to(sticks);
        assert_eq!(outcome.event.is_some(), outcome.pilot != before);
    }
}

#[test]
fn each_thing_waited_for_is_named_in_its_order_a2() {
    let mut policy = sprung();
    policy.axes[1].window = Some(Deflection::from_bits(100));
    let policy = policy.check().unwrap();
    let ms = Duration::from_millis;
    let mut lesson = Lesson::new(&policy);
    (lesson.instructor, lesson.student, lesson.on) = (None, None, true);
    assert_eq!(lesson.step().waiting, Some(Waiting::InstructorSignal));
    assert_eq!(lesson.move_to([400, 0]).waiting, Some(Waiting::SwitchOffFirst));
    lesson.on = false;
    lesson.button = true;
    assert_eq!(lesson.step().waiting, Some(Waiting::Switch));
    let _ = lesson.run(2); // 20 ms: seen off first, and the latch is cleared
    lesson.on = true;
    assert_eq!(lesson.step().waiting, Some(Waiting::Settling { left: ms(20) }));
    let _ = lesson.step();
    assert_eq!(lesson.step().waiting, Some(Waiting::Latch));
    lesson.button = false;
    lesson.on = false;
    let _ = lesson.run(3);
    lesson.on = true;
    assert_eq!(lesson.run(3).waiting, Some(Waiting::StudentLink { left: ms(70) }), "lost: all of requalify");
    lesson.student = Some([0, 101]);
    assert_eq!(lesson.step().waiting, Some(Waiting::StudentLink { left: ms(70) }));
    assert_eq!(lesson.step().waiting, Some(Waiting::StudentLink { left: ms(60) }));
    assert_eq!(lesson.run(6).waiting, Some(Waiting::Held(0)));
    assert_eq!(lesson.move_to([0, 0]).waiting, Some(Waiting::Dwell { left: ms(100) }), "free: not begun");
    assert_eq!(lesson.step().waiting, Some(Waiting::Dwell { left: ms(100) }), "begun in this step");
    assert_eq!(lesson.step().waiting, Some(Waiting::Dwell { left: ms(90) }));
    assert_eq!(lesson.run(9).waiting, Some(Waiting::Gate(1)));
    lesson.student = Some([0, 100]);
    let flown = lesson.step();
    assert_eq!((flown.waiting, cause(&flown)), (None, Some(Cause::HandedBack)));
}

#[test]
fn nothing_is_waited_for_where_nothing_is_shared_a2() {
    let policy = Policy { shared: AxisSet::EMPTY, ..sprung() }.check().unwrap();
    let outcome = Lesson::new(&policy).step();
    assert_eq!((outcome.pilot, outcome.waiting), (Pilot::Instructor, None));
}
