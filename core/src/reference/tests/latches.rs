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

/// Given an axis with `keep`, when it takes over, then it latches in that step.
#[test]
fn an_axis_with_keep_latches_in_the_step_of_its_takeover_h2() {
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

/// Given `lasted` and scope `Axis`, when a takeover has lasted exactly that long, then the latch takes what the student
/// still had.
#[test]
fn a_takeover_latches_at_exactly_lasted_h2() {
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

/// Given a takeover shorter than `lasted`, when the set grows, then the takeover ends and its time counts no more.
#[test]
fn a_takeover_ends_where_the_set_grows_h2() {
    let latches = Latches { lasted: Some(Duration::from_millis(130)), beyond: None };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]); // 10 ms
    assert_eq!(lesson.run(11).pilot, all::<2>(), "120 ms");
    assert_eq!(lesson.run(20).pilot, all::<2>());
}

/// Given a `lasted` that is over in the step that ends the dwell, when that step comes, then the latch is set and the
/// set does not grow.
#[test]
fn a_latch_wins_over_the_end_of_the_dwell_h2() {
    let latches = Latches { lasted: Some(Duration::from_millis(120)), beyond: None };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]);
    assert!(latched(&lesson.run(11)));
}

/// Given `beyond` and a takeover, when a watched stick is further than that from its rest, then it latches.
#[test]
fn a_stick_past_beyond_latches_in_a_takeover_h2() {
    let latches = Latches { lasted: None, beyond: Some(Deflection::from_bits(3000)) };
    let policy = Policy { latches, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    assert!(!latched(&lesson.move_to([400, 0])));
    assert!(!latched(&lesson.move_to([400, -3000])));
    assert!(latched(&lesson.move_to([400, -3001])));
}

/// Given sticks that moved before the student had the craft, when the dwell is over, then nothing has latched.
#[test]
fn sticks_moved_before_the_student_flew_latch_nothing_h2() {
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

/// Given a link that is lost, when a stick with `keep` becomes held in that step, then the takeover is on and latches.
#[test]
fn a_stick_takes_over_though_something_else_took_the_craft_h2() {
    let policy = Policy { off_first_after_loss: false, ..keeping(0, Scope::Craft) }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.student = None;
    let _ = lesson.run(5);
    let both = lesson.move_to([400, 0]);
    assert_eq!(both.event.map(|event| event.cause), Some(Cause::LinkLost));
    (lesson.instructor, lesson.student) = (Some([0, 0]), Some([0, 0]));
    assert!(latched(&lesson.run(50)));
}

/// Given any moment, when instructor now is asked for, then it latches. The latch is cleared once the switch has been
/// off for `settle`.
#[test]
fn instructor_now_latches_and_off_for_settle_clears_h2_t7() {
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

/// Given a held axis that rests where it was left, when the set grows, then its rest stays, and `beyond` counts from
/// it.
#[test]
fn beyond_counts_from_the_rest_before_the_set_grew_h2_r2() {
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

/// Given a latch and a switch that is off, when a step is late, then clearing counts from the first off reading. Seen
/// off first counts from the late step.
#[test]
fn clearing_counts_from_the_first_off_whatever_was_lost_s3_s2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0, 0]);
    lesson.button = true;
    let _ = lesson.step();
    lesson.button = false;
    lesson.on = false;
    let _ = lesson.step();
    let _ = lesson.after(250 * MS + 1); // a late step: off long enough to clear, not yet seen off first since then
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
