//! L4: a student link that repeats its last frame.

use handback::cue::Cue;
use handback::{Cause, Deflection, Duration, Link, Policy, Reception, Waiting};
use handback_host_tests::{Lesson, STEP, axes, bare, exceeded, lesson_with, ms, points, sprung, us, with};

const LIMIT: Duration = ms(500);

/// A link that repeats one frame is frozen past 500 ms, and no step is late.
fn patient() -> Policy<2> {
    with!(bare(), late_step: ms(100_000), frozen_after: Some(LIMIT))
}

/// The student flies and has just moved axis 0 to 40 points. From here on the student's frames repeat.
fn moved(policy: Policy<2>) -> Lesson<2> {
    lesson_with(policy).student_flying().student(0, points(40)).step().student_has_all()
}

fn cause(lesson: &Lesson<2>) -> Option<Cause> {
    lesson.outcome().event.map(|event| event.cause)
}

/// Given frames that repeat, when the last change is older than `frozen_after`, then the link is lost, and not before.
/// Rules: L4, A1, T4
#[test]
fn repeated_frames_lose_the_link_past_frozen_after() {
    for (age, frozen) in exceeded(LIMIT) {
        let lesson = moved(patient()).pass(age).student_has_all_if(!frozen);
        assert_eq!(lesson.outcome().student, Reception::Good);
        assert_eq!(lesson.outcome().link, if frozen { Link::Lost } else { Link::Good });
        assert_eq!(cause(&lesson), frozen.then_some(Cause::LinkFrozen));
        // It sounds as any other lost link.
        assert_eq!(Cue::of(lesson.outcome()), frozen.then_some(Cue::Lost));
        lesson.outputs(0, if frozen { Deflection::CENTRE } else { points(40) });
    }
}

/// Given no `frozen_after`, as by default, when frames repeat for an hour, then the student keeps the craft.
/// Rules: L4
#[test]
fn by_default_frames_that_repeat_for_an_hour_lose_nothing() {
    assert_eq!(sprung::<2>().frozen_after, None);
    moved(sprung()).pass(ms(3_600_000)).student_has_all().outputs(0, points(40));
}

/// Given a change of one bit on one shared axis, when it comes in time, then the stillness begins again.
/// Rules: L4
#[test]
fn one_bit_of_one_shared_axis_is_a_change() {
    let mut lesson = moved(patient());
    for bits in 1..=20 {
        lesson = lesson.pass(LIMIT - STEP).student(1, Deflection::from_bits(bits)).step().student_has_all();
    }
    lesson.pass(LIMIT).student_has_all().step().because(Cause::LinkFrozen);
}

/// Given a change only of an axis that is not shared, when it comes, then the stillness goes on.
/// Rules: L4
#[test]
fn an_axis_not_shared_changes_nothing() {
    let policy = with!(patient(), shared: axes(&[0]));
    for (axis, kept) in [(0, true), (1, false)] {
        let moved = moved(policy).pass(LIMIT).student(axis, points(10)).step();
        assert_eq!(cause(&moved), (!kept).then_some(Cause::LinkFrozen), "axis {axis}");
    }
}

/// Given no shared axis, when good frames come, then only the first one is a change.
/// Rules: L4
#[test]
fn without_shared_axes_only_the_first_frame_is_a_change() {
    let policy = with!(patient(), shared: axes(&[]));
    for (age, frozen) in exceeded(LIMIT) {
        let first = lesson_with(policy).student_frames(false).steps(3).student_frames(true).step();
        let later = first.student(0, points(10)).pass(age);
        assert_eq!(later.outcome().link, if frozen { Link::Lost } else { Link::Good });
    }
}

/// Given a first frame that is centred on every axis, when it comes, then it counts as a change.
/// Rules: L4, L2
#[test]
fn the_first_good_frame_is_a_change() {
    for (age, frozen) in exceeded(LIMIT) {
        let first = lesson_with(patient()).student_frames(false).pass(ms(2000)).student_frames(true).step();
        assert_eq!(first.outcome().link, Link::Good);
        assert_eq!(first.pass(age).outcome().link, if frozen { Link::Lost } else { Link::Good });
    }
}

/// Given bad frames that differ, when they come, then they are no change.
/// Rules: L4
#[test]
fn a_bad_frame_is_no_change() {
    let policy = with!(patient(), timeout: ms(1000));
    let bad = moved(policy).pass(LIMIT - STEP).student(0, points(151)).step().student_has_all();
    let back = bad.student(0, points(40)).step();
    assert_eq!(back.outcome().student, Reception::Good);
    back.because(Cause::LinkFrozen);
}

/// Given a frozen link, when a frame repeats, then it does not start qualifying. A frame that changes does.
/// Rules: L4, L2, A2
#[test]
fn only_a_change_starts_qualifying_again() {
    let policy = with!(patient(), requalify: ms(300), off_first_after_loss: false);
    let frozen = moved(policy).pass(ms(2000));
    assert_eq!(frozen.outcome().link, Link::Lost);
    let frozen = frozen.waits_for(Waiting::StudentLink { left: ms(300) });
    let changed = frozen.student(0, points(41)).step();
    assert_eq!(changed.outcome().link, Link::Qualifying);
    changed.clone().pass(us(299_999)).instructor_has_the_craft();
    changed.pass(ms(300)).student_has_all();
}

/// Given a step past `frozen_after`, when it brings a change, then the link is not lost in it.
/// Rules: L4
#[test]
fn a_step_past_the_limit_that_brings_a_change_loses_nothing() {
    let policy = with!(patient(), timeout: ms(1000), failsafe_after: ms(1000));
    moved(policy).step_of(us(500_001)).because(Cause::LinkFrozen);
    moved(policy).student(0, points(41)).step_of(us(500_001)).student_has_all();
}

/// Given a frozen link of a student who flew, when it changes again, then the switch must be seen off first.
/// Rules: L4, L3, S2
#[test]
fn after_a_frozen_link_the_switch_must_be_seen_off_first() {
    let frozen = moved(patient()).pass(ms(520));
    let back = frozen.student(0, points(41)).step().pass(ms(100));
    assert_eq!(back.outcome().link, Link::Good);
    back.waits_for(Waiting::SwitchOffFirst).student_flying().student_has_all();
}

/// Given a frozen link, when it is lost by its age or a step is late, then the same frame does not end the loss.
/// Rules: L4, L1, K1
#[test]
fn neither_silence_nor_a_late_step_resets_the_stillness() {
    let short = with!(bare(), frozen_after: Some(LIMIT));
    let silence = moved(short).student_frames(false).pass(LIMIT).student_frames(true);
    let late = moved(short).step_of(ms(260)).pass(ms(240));
    for (what, lesson) in [("silence", silence), ("a late step", late)] {
        let frozen = lesson.step_of(us(1));
        assert_eq!(frozen.outcome().student, Reception::Good, "{what}");
        assert_eq!(frozen.outcome().link, Link::Lost, "{what}");
        let changed = frozen.student(0, points(41)).step();
        assert_eq!(changed.outcome().link, Link::Good, "{what}");
    }
}

/// Given a link both frozen and too old in one step, when the craft is taken, then the cause is the link lost.
/// Rules: L4, A1
#[test]
fn a_link_too_old_in_the_step_that_freezes_it_is_lost() {
    for (age, lost) in exceeded(ms(150)) {
        let old = moved(patient()).pass(ms(360)).student_frames(false).pass(ms(140)).student_has_all();
        let after = old.student_frames(true).step_of(us(age.as_ticks() - 140_000));
        after.because(if lost { Cause::LinkLost } else { Cause::LinkFrozen });
    }
}

/// Given frames that repeat for longer than the clock's range, when they go on, then the link stays frozen.
/// Rules: L4, N1
#[test]
fn a_link_still_for_longer_than_the_clock_stays_frozen() {
    let half = us(1 << 31);
    let policy = with!(bare(), late_step: half, timeout: half, failsafe_after: half, frozen_after: Some(half));
    let mut lesson = moved(policy).step_of(half).student_has_all().step_of(us(1)).because(Cause::LinkFrozen);
    for _ in 0..9 {
        lesson = lesson.step_of(half);
        assert_eq!(lesson.outcome().link, Link::Lost);
    }
    lesson = lesson.student(0, points(41)).step();
    assert_eq!(lesson.outcome().link, Link::Good);
}
