//! Stick takeovers and latches (H2).

use super::*;
use crate::{Cause, Latches, Rest, Scope, Waiting};

fn keeping(axis: usize, scope: Scope) -> Policy<2> {
    let mut policy = Policy { scope, ..sprung() };
    policy.axes[axis].keep = true;
    policy
}

fn latched<const N: usize>(outcome: &Outcome<N>) -> bool {
    outcome.waiting == Some(Waiting::Latch)
}

#[test]
fn an_axis_that_keeps_latches_in_the_step_in_which_it_takes_over_h2() {
    let policy = keeping(0, Scope::Craft).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    assert!(latched(&lesson.move_to([400, 0])));
    lesson.instructor = Some([0, 0]);
    assert!(latched(&lesson.run(100)), "for good");
}

#[test]
fn an_axis_that_keeps_latches_by_joining_a_takeover_h2() {
    let policy = keeping(1, Scope::Axis).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    assert!(!latched(&lesson.move_to([400, 0])));
    let joined = lesson.move_to([400, 400]);
    assert!(latched(&joined));
    assert_eq!(joined.event.map(|event| event.cause), Some(Cause::Stick(1)), "a stick comes before a latch (A1)");
}

#[test]
fn a_takeover_that_has_lasted_latches_at_exactly_its_time_and_takes_what_the_student_still_had_h2() {
    let latches = Latches { lasted: Some(Duration::from_millis(40)), beyond: None };
    let policy = Policy { latches, scope: Scope::Axis, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]);
    assert!(!latched(&lesson.after(30 * MS - 1)));
    let outcome = lesson.after(1);
    assert!(latched(&outcome));
    assert_eq!(outcome.event.map(|event| event.cause), Some(Cause::Latch));
}

#[test]
fn a_takeover_ends_where_the_set_grows_so_that_no_time_is_left_over_h2() {
    let latches = Latches { lasted: Some(Duration::from_millis(130)), beyond: None };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]); // 10 ms
    assert_eq!(lesson.run(11).pilot, all::<2>(), "120 ms");
    assert_eq!(lesson.run(20).pilot, all::<2>());
}

#[test]
fn where_the_latch_and_the_end_of_the_dwell_come_together_the_latch_wins_h2() {
    let latches = Latches { lasted: Some(Duration::from_millis(120)), beyond: None };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]);
    assert!(latched(&lesson.run(11)));
}

#[test]
fn a_stick_beyond_its_distance_latches_while_a_takeover_is_on_h2() {
    let latches = Latches { lasted: None, beyond: Some(Deflection::from_bits(3000)) };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    assert!(!latched(&lesson.move_to([400, 0])));
    assert!(!latched(&lesson.move_to([400, -3000])));
    assert!(latched(&lesson.move_to([400, -3001])));
}

#[test]
fn sticks_moved_before_the_student_had_the_craft_latch_nothing_h2() {
    let latches = Latches { lasted: Some(Duration::from_ticks(0)), beyond: Some(Deflection::CENTRE) };
    let policy = Policy { latches, ..keeping(0, Scope::Craft) }.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(3);
    let _ = lesson.move_to([400, 400]);
    let _ = lesson.move_to([0, 0]);
    assert_eq!(lesson.run(11).pilot, all::<2>());
}

#[test]
fn a_takeover_is_on_even_where_something_else_took_the_craft_in_that_step_h2() {
    let policy = Policy { off_first_after_loss: false, ..keeping(0, Scope::Craft) }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.student = None;
    let _ = lesson.run(5);
    let both = lesson.move_to([400, 0]);
    assert_eq!(both.event.map(|event| event.cause), Some(Cause::LinkLost));
    (lesson.instructor, lesson.student) = (Some([0, 0]), Some([0, 0]));
    assert!(latched(&lesson.run(50)));
}

#[test]
fn instructor_now_latches_at_any_time_and_off_for_settle_clears_h2_t7() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(3);
    lesson.button = true;
    let _ = lesson.step();
    lesson.button = false;
    assert!(latched(&lesson.run(50)));

    for (off_for, cleared) in [(20 * MS - 1, false), (20 * MS, true)] {
        let mut lesson = Lesson::flown(&policy, [0, 0]);
        lesson.button = true;
        let _ = lesson.step();
        lesson.button = false;
        lesson.on = false;
        let _ = lesson.step();
        let _ = lesson.after(off_for);
        lesson.on = true;
        assert_eq!(lesson.run(3).waiting != Some(Waiting::Latch), cleared, "off for {off_for} us");
    }
}

#[test]
fn a_takeover_ends_where_the_switch_has_been_off_for_settle_h2() {
    let policy = keeping(0, Scope::Craft).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([0, 400]);
    let _ = lesson.move_to([0, 0]);
    lesson.on = false;
    let _ = lesson.run(3);
    lesson.on = true;
    let _ = lesson.run(3);
    assert!(!latched(&lesson.move_to([400, 0])), "axis 0 joins no takeover");
}

#[test]
fn a_held_stick_keeps_its_rest_where_the_set_grows_and_is_beyond_as_seen_from_there_h2_r2() {
    let latches = Latches { lasted: None, beyond: Some(Deflection::from_bits(3000)) };
    let rests = AxisRule { rest: Rest::WhereLeft { still: Duration::from_millis(300) }, ..AxisRule::sprung() };
    let mut policy = Policy { latches, scope: Scope::Axis, ..quick([rests, AxisRule::sprung(), AxisRule::sprung()]) };
    policy.axes[1].window = Some(Deflection::from_bits(100));
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0, 0]);
    let _ = lesson.move_to([2000, 400, 0]); // both held; the rest of axis 0 is 0
    let _ = lesson.move_to([2500, 0, 0]);
    let grown = lesson.run(11);
    assert_eq!((grown.pilot.student(), grown.held), (AxisSet::of(&[1, 2]), AxisSet::of(&[0])));
    assert!(!latched(&lesson.move_to([3001, 0, 0])), "no takeover is on");
    assert!(latched(&lesson.move_to([3001, 400, 0])), "one is, and 3001 is beyond: the rest is still 0");
}

#[test]
fn clearing_wins_over_setting_h2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.button = true;
    let _ = lesson.run(10);
    lesson.button = false;
    lesson.on = true;
    assert_eq!(lesson.run(20).pilot, all::<2>());
}

#[test]
fn the_off_that_clears_counts_from_where_it_was_first_seen_whatever_was_lost_meanwhile_s3_s2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.button = true;
    let _ = lesson.step();
    lesson.button = false;
    lesson.on = false;
    let _ = lesson.step();
    let _ = lesson.after(250 * MS + 1); // a late step; off for long enough to clear, not since the late step to be seen off first
    lesson.on = true;
    assert_eq!(lesson.step().waiting, Some(Waiting::SwitchOffFirst));
    lesson.on = false;
    let _ = lesson.step();
    lesson.on = true;
    assert_eq!(lesson.run(10).waiting, Some(Waiting::SwitchOffFirst));

    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.on = false;
    let _ = lesson.after(250 * MS + 1); // the step of the loss may be the one that first sees it off
    let _ = lesson.after(20 * MS);
    lesson.on = true;
    assert_ne!(lesson.step().waiting, Some(Waiting::SwitchOffFirst));
}
