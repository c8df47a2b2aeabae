//! Sticks: when an axis is held or free, and what a held axis takes (T1 to T5, T7, R).

use super::*;
use crate::{Cause, Rest, Scope};

fn cause<const N: usize>(outcome: &Outcome<N>) -> Option<Cause> {
    outcome.event.map(|event| event.cause)
}

/// Given a stick at `engage`, when it moves one unit further, then it takes the craft in that step. At `engage` it
/// takes nothing.
#[test]
fn a_stick_one_unit_beyond_engage_takes_the_craft_t1_t2() {
    let policy = sprung().check().unwrap();
    for side in [1, -1] {
        let mut lesson = Lesson::flown(&policy, [5000, 6000]);
        let at = lesson.move_to([side * ENGAGE, 0]);
        assert_eq!((at.held, at.output), (AxisSet::EMPTY, frame([5000, 6000])));
        let beyond = lesson.move_to([side * (ENGAGE + 1), 7]);
        assert_eq!((beyond.held, beyond.pilot), (AxisSet::of(&[0]), Pilot::Instructor));
        assert_eq!((beyond.output, cause(&beyond)), (frame([side * (ENGAGE + 1), 7]), Some(Cause::Stick(0))));
    }
}

/// Given `confirm` 3, when frames are missing or bad, then the row goes on. Only a good frame within `engage` breaks
/// it.
#[test]
fn confirm_counts_the_good_frames_of_a_row_t1() {
    let rule = AxisRule { confirm: 3, ..AxisRule::sprung() };
    let policy = quick([rule]).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0]);
    for (sticks, held) in [
        (Some([400]), false),
        (Some([400]), false),
        (Some([0]), false), // breaks the row
        (Some([400]), false),
        (None, false), // does not
        (Some([400]), false),
        (Some([32767]), false), // bad: does not
        (Some([400]), true),
    ] {
        lesson.instructor = sticks;
        assert_eq!(lesson.step().held.contains(0), held, "{sticks:?}");
    }
}

#[test]
fn a_late_step_or_a_loss_restarts_the_row_r3() {
    let rule = AxisRule { confirm: 2, ..AxisRule::sprung() };
    let policy = quick([rule]).check().unwrap();
    for (gap, goes_on) in [(50 * MS, true), (50 * MS + 1, false), (250 * MS + 1, false)] {
        let mut lesson = Lesson::new(&policy);
        let _ = lesson.move_to([400]);
        assert_eq!(lesson.after(gap).held.contains(0), goes_on, "{gap} us");
        assert!(lesson.step().held.contains(0), "the frame of that step counts");
    }
}

#[test]
fn a_held_axis_is_free_at_release_and_not_one_unit_further_t3() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    assert!(lesson.move_to([400, 0]).held.contains(0));
    assert!(lesson.move_to([RELEASE + 1, 0]).held.contains(0));
    lesson.instructor = None;
    assert!(lesson.step().held.contains(0));
    assert!(!lesson.move_to([RELEASE, 0]).held.contains(0));
}

/// Given a student who flies, when a bad instructor's frame comes, then the set is empty and the bad frame is not
/// output.
#[test]
fn a_bad_frame_empties_the_set_and_is_not_output_t4() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    let _ = lesson.move_to([11, 12]);
    let bad = lesson.move_to([0, -24577]); // 1.5 is 24576
    assert_eq!((bad.pilot, cause(&bad)), (Pilot::Instructor, Some(Cause::BadFrame)));
    assert_eq!((bad.output, bad.stick), (frame([11, 12]), frame([11, 12])));
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    assert_eq!(lesson.move_to([0, -24576]).event.map(|event| event.cause), Some(Cause::Stick(1)), "good, and far");
}

#[test]
fn instructor_now_takes_everything_while_it_is_asked_for_t7() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    lesson.button = true;
    let outcome = lesson.step();
    assert_eq!((outcome.pilot, cause(&outcome)), (Pilot::Instructor, Some(Cause::InstructorNow)));
    assert_eq!(outcome.output, frame([0, 0]));
}

#[test]
fn in_scope_craft_any_held_axis_takes_every_axis_t5() {
    let policy = Policy { shared: AxisSet::of(&[0]), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 0]);
    let outcome = lesson.move_to([3, 400]);
    assert_eq!((outcome.pilot, outcome.output), (Pilot::Instructor, frame([3, 400])));
}

/// Given scope `Axis`, when a shared axis is held, then it takes itself. An axis that is not shared takes everything.
#[test]
fn in_scope_axis_an_axis_takes_itself_or_everything_t5() {
    let shared = AxisSet::of(&[0, 1]);
    let policy = Policy { scope: Scope::Axis, shared, ..quick([AxisRule::sprung(); 3]) }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000, 0]);
    let own = lesson.move_to([1, 400, 2]);
    assert_eq!(own.pilot, Pilot::Student(AxisSet::of(&[0])));
    assert_eq!((own.output, cause(&own)), (frame([5000, 400, 2]), Some(Cause::Stick(1))));
    let all = lesson.move_to([1, 400, 400]);
    assert_eq!((all.pilot, all.output), (Pilot::Instructor, frame([1, 400, 400])));
    assert_eq!(cause(&all), Some(Cause::Stick(2)));
}

/// Given scope `Axis`, when a held axis becomes free, then it joins the set after the dwell. The others stay in the
/// set.
#[test]
fn in_scope_axis_an_axis_comes_back_after_the_dwell_t5_h1() {
    let policy = Policy { scope: Scope::Axis, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [5000, 6000]);
    let _ = lesson.move_to([400, 0]);
    let _ = lesson.move_to([0, 0]); // free: the set of held axes changes, so the dwell begins in the next step
    assert_eq!(lesson.run(10).pilot, Pilot::Student(AxisSet::of(&[1])));
    assert_eq!(lesson.step().pilot, all::<2>());
}

/// An axis that rests where it was left: engage 1311, release 655, still 30 ms.
fn where_left(still_ms: u32) -> AxisRule {
    let still = Duration::from_millis(still_ms);
    AxisRule { rest: Rest::WhereLeft { still }, transfer: Transfer::Snap, keep: false, ..throttle() }
}

fn throttle() -> AxisRule {
    AxisRule::unsprung(Deflection::from_points(-100))
}

/// Given an axis that rests where it was left, when its stay is over, then the stay's first position is the rest.
#[test]
fn a_stick_rests_at_the_first_position_of_its_stay_r2() {
    let policy = quick([where_left(30)]).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0]);
    assert!(lesson.move_to([2000]).held.contains(0), "the stay begins at 2000");
    assert!(lesson.move_to([2655]).held.contains(0), "within release");
    assert!(lesson.move_to([1345]).held.contains(0), "within release on the other side");
    assert!(!lesson.move_to([2100]).held.contains(0), "30 ms: the rest is 2000");
    assert!(!lesson.move_to([3311]).held.contains(0));
    assert!(lesson.move_to([3312]).held.contains(0));
}

/// Given a stay, when a frame is outside it, then another stay begins. Passing over the old rest frees nothing.
#[test]
fn a_frame_outside_the_stay_begins_another_stay_r2_t3() {
    let policy = quick([where_left(30)]).check().unwrap();
    let mut lesson = Lesson::flown(&policy, [0]);
    let _ = lesson.move_to([2000]);
    let _ = lesson.move_to([2000]);
    assert!(lesson.move_to([2656]).held.contains(0), "one unit outside");
    assert!(lesson.move_to([0]).held.contains(0), "outside again, over the old rest");
    assert!(lesson.run(2).held.contains(0));
    assert!(!lesson.step().held.contains(0));
}

/// Given `still` 0, when an axis becomes held, then its stay does not end in that step.
#[test]
fn a_stay_cannot_end_in_the_step_that_holds_its_axis_r2() {
    let policy = quick([where_left(0)]).check().unwrap();
    let mut lesson = Lesson::new(&policy);
    assert!(!lesson.step().held.contains(0), "held from the construction on, so asked in the first step");
    assert!(lesson.move_to([2000]).held.contains(0));
    assert!(!lesson.move_to([9000]).held.contains(0), "a stay that begins here is at once long enough");
}

/// Given a stay, when no frame comes, then it goes on but frees the axis only with a frame. A lost signal restarts it.
#[test]
fn a_stay_frees_only_with_a_frame_and_a_loss_restarts_it_r3() {
    let policy = quick([where_left(30)]).check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.step();
    lesson.instructor = None;
    assert!(lesson.run(4).held.contains(0));
    assert!(!lesson.move_to([0]).held.contains(0));

    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(2);
    assert!(lesson.after(50 * MS + 1).held.contains(0), "lost and back: the stay begins with this frame");
    assert!(lesson.run(2).held.contains(0));
    assert!(!lesson.step().held.contains(0));
}

/// A lesson whose next step grows the student's set.
fn about_to_grow<const N: usize>(policy: &CheckedPolicy<N>) -> Lesson<N> {
    let mut lesson = Lesson::new(policy);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(12); // settled in the third: 90 ms of dwell
    lesson
}

/// Given an axis that rests where it was left, when the set grows, then its rest is the stick's position.
#[test]
fn growth_moves_a_rest_where_left_to_the_stick_r2() {
    let policy = quick([where_left(30)]).check().unwrap();
    for (stick, held) in [(1000 + 1311, false), (1000 + 1312, true), (1000 - 1311, false), (1000 - 1312, true)] {
        let mut lesson = about_to_grow(&policy);
        assert_eq!(lesson.move_to([1000]).pilot, all::<1>());
        assert_eq!(lesson.move_to([stick]).held.contains(0), held, "{stick}");
    }
}

#[test]
fn where_the_set_grows_a_fixed_rest_stays_r1() {
    let policy = quick([AxisRule::sprung()]).check().unwrap();
    let mut lesson = about_to_grow(&policy);
    assert_eq!(lesson.move_to([ENGAGE]).pilot, all::<1>());
    assert!(lesson.move_to([ENGAGE + 1]).held.contains(0));
}

/// Given a row that has begun, when the dwell is over, then the set does not grow.
#[test]
fn the_set_does_not_grow_over_a_row_that_has_begun_h1() {
    let policy = quick([AxisRule { confirm: 2, ..where_left(30) }]).check().unwrap();
    let mut lesson = about_to_grow(&policy);
    assert_eq!(lesson.move_to([1400]).pilot, Pilot::Instructor, "the first frame beyond engage: the row is 1");
    assert!(lesson.move_to([1400]).held.contains(0), "the row is 2");
}
