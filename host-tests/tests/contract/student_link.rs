//! L: the student link.

use handback::{Cause, Deflection, Link, Policy, Reception, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, exceeded, lesson, lesson_with, ms, points, reached, sprung, us, with,
};

const CENTRE: Deflection = Deflection::CENTRE;

/// The link is lost past 150 ms, and no step is late.
fn patient<const N: usize>() -> Policy<N> {
    with!(bare(), late_step: ms(100_000))
}

/// The student flies at 40 points. Then, in ordinary steps, no student's frame comes for `time`.
fn silent(policy: Policy<2>, time: handback::Duration) -> Lesson<2> {
    lesson_with(policy).student(0, points(40)).student_flying().student_frames(false).pass(time)
}

/// Given no student's frames, when the last good frame is older than `timeout`, then the link is lost, and not before.
/// Rules: L1
#[test]
fn the_link_is_lost_past_timeout_and_not_before() {
    for (age, lost) in exceeded(ms(150)) {
        let lesson = silent(patient(), age).student_has_all_if(!lost);
        assert_eq!(lesson.outcome().link, if lost { Link::Lost } else { Link::Good });
        lesson.outputs(0, if lost { CENTRE } else { points(40) });
    }
}

/// Given a gap longer than `timeout`, when the step that notices it brings a frame, then the link was lost in it.
/// Rules: L1, L3
#[test]
fn a_step_that_notices_a_gap_loses_the_link() {
    let policy = with!(patient::<2>(), requalify: ms(1000));
    // The instructor's frames come in every step: only the student's signal has the gap.
    for (age, lost) in exceeded(ms(150)) {
        let gap = lesson_with(policy).student_flying().student_frames(false).pass(ms(140));
        let noticed = gap.student_frames(true).step_of(us(age.as_ticks() - 140_000)).student_has_all_if(!lost);
        assert_eq!(noticed.outcome().link, if lost { Link::Qualifying } else { Link::Good });
        assert_eq!(noticed.outcome().event.map(|event| event.cause), lost.then_some(Cause::LinkLost));
    }
}

/// Given a link near its `timeout`, when a good frame comes, then the age begins again.
/// Rules: L1
#[test]
fn a_good_frame_in_time_restarts_the_age() {
    let mut lesson = silent(patient(), ms(140));
    for _ in 0..20 {
        lesson = lesson.student_frames(true).step_of(ms(10)).student_frames(false).pass(ms(140)).student_has_all();
    }
    lesson.step().because(Cause::LinkLost);
}

/// Given bad frames from the student, when they come, then they count as no frames and are never output.
/// Rules: L1
#[test]
fn bad_frames_count_as_none_and_are_never_output() {
    for (stick, bad) in beyond(CENTRE, points(150)) {
        let flying = lesson_with(patient::<2>()).student(0, points(40)).student_flying().student(0, stick).step();
        assert_eq!(flying.outcome().student, if bad { Reception::Bad } else { Reception::Good });
        let flying = flying.outputs(0, if bad { points(40) } else { stick }).student_has_all();
        let later = flying.pass(ms(140)).student_has_all_if(!bad);
        assert_eq!(later.outcome().event.map(|event| event.cause), bad.then_some(Cause::LinkLost));
    }
}

/// Given an axis of the student that is not shared, when it is implausible, then the frame is good.
/// Rules: L1
#[test]
fn an_implausible_axis_not_shared_leaves_the_frame_good() {
    let policy = with!(patient::<2>(), shared: axes(&[0]));
    let flying = lesson_with(policy).student_sticks([points(40), Deflection::MAX]).student_flying().pass(ms(1000));
    assert_eq!(flying.outcome().student, Reception::Good);
    flying.student_has_all().outputs(1, CENTRE);
}

/// Given a student who flies, when frames come rarely, then no axis ever shows a value older than `timeout`.
/// Rules: L1
#[test]
fn no_axis_shows_a_student_value_older_than_timeout() {
    let mut lesson = lesson_with(patient::<2>()).student_flying();
    for (round, silence) in (0i16..).zip([0, 20, 60, 140, 160, 300, 100, 150, 40]) {
        let sent = points(30 + round);
        lesson = lesson.student(0, sent).student_frames(true).step();
        if lesson.outcome().pilot.student().is_empty() {
            lesson = lesson.off_first_and_on().pass(ms(40)).student_has_all();
        }
        lesson = lesson.student_frames(false);
        let mut age = ms(0);
        while age < ms(silence) {
            lesson = lesson.step();
            age += ms(20);
            let shown = lesson.output(0) == sent;
            assert_eq!(shown, age <= ms(150), "{age} after the last frame");
        }
    }
}

/// Given a new engine, when no student's frame came, then the link is lost.
/// Rules: L2
#[test]
fn without_a_student_frame_the_link_is_lost() {
    let lesson = lesson().student_frames(false).step().pass(ms(3000));
    assert_eq!(lesson.outcome().link, Link::Lost);
    assert_eq!(lesson.outcome().student, Reception::Nothing);
}

/// Given the first good frame, when qualifying has gone on for `requalify`, then the link is good, and not before.
/// Rules: L2
#[test]
fn the_link_is_good_after_requalify_and_not_before() {
    for (elapsed, good) in reached(ms(1000)) {
        let first = lesson().student_frames(false).steps(3).student_frames(true).step();
        assert_eq!(first.outcome().link, Link::Qualifying);
        assert_eq!(first.pass(elapsed).outcome().link, if good { Link::Good } else { Link::Qualifying });
    }
}

/// Given a first frame that is bad, when it comes, then it does not start qualifying.
/// Rules: L2
#[test]
fn a_bad_first_frame_does_not_start_qualifying() {
    let policy = with!(patient::<1>(), requalify: ms(100));
    let bad = lesson_with(policy).student(0, points(151)).pass(ms(500));
    assert_eq!(bad.outcome().link, Link::Lost);
    let good = bad.student(0, CENTRE).step();
    assert_eq!(good.clone().pass(us(99_999)).outcome().link, Link::Qualifying);
    assert_eq!(good.pass(ms(100)).outcome().link, Link::Good);
}

/// Given a qualifying link, when it is lost, then qualifying begins again with the next good frame.
/// Rules: L2
#[test]
fn a_loss_while_qualifying_restarts_qualifying() {
    let lost = lesson().step().pass(ms(900)).student_frames(false).pass(ms(160));
    assert_eq!(lost.outcome().link, Link::Lost);
    let again = lost.student_frames(true).step();
    assert_eq!(again.clone().pass(us(999_999)).outcome().link, Link::Qualifying);
    assert_eq!(again.pass(ms(1000)).outcome().link, Link::Good);
}

/// Given a qualifying link, when frames stay away for less than `timeout`, then it goes on qualifying and can become
/// good.
/// Rules: L2
#[test]
fn frames_missing_up_to_timeout_do_not_stop_qualifying() {
    let almost = lesson().step().pass(ms(900)).student_frames(false).pass(us(99_999));
    assert_eq!(almost.outcome().link, Link::Qualifying);
    assert_eq!(almost.step_of(us(1)).outcome().link, Link::Good);
}

/// Given `requalify` 0, when the first good frame comes, then the link is good in that step.
/// Rules: L2
#[test]
fn requalify_0_makes_the_link_good_in_the_first_step() {
    assert_eq!(lesson_with(patient::<1>()).step().outcome().link, Link::Good);
}

/// Given a student who flies, when the link is lost, then the instructor has the craft in that step.
/// Rules: L3, T4, A1
#[test]
fn a_lost_link_takes_the_craft_in_that_step() {
    silent(sprung(), ms(140)).student_has_all().step().because(Cause::LinkLost).outputs(0, CENTRE);
}

/// Given `off_first_after_loss`, when a link comes back, then nothing is handed over until the switch is seen off
/// first.
/// Rules: L3, S2
#[test]
fn with_off_first_a_link_that_is_back_hands_nothing_over() {
    let back = silent(sprung(), ms(200)).student_frames(true).pass(ms(5000));
    assert_eq!(back.outcome().link, Link::Good);
    back.instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst).student_flying().student_has_all();
}

/// Given no `off_first_after_loss`, when a link comes back, then the student waits for `requalify` and the dwell.
/// Rules: L3, L2, H1
#[test]
fn without_off_first_a_link_that_is_back_needs_a_dwell() {
    let policy = with!(patient(), off_first_after_loss: false, requalify: ms(1000), dwell: ms(300));
    let back = silent(policy, ms(200)).student_frames(true).step();
    let back = back.pass(us(999_999)).waits_for(Waiting::StudentLink { left: us(1) });
    let good = back.step_of(us(1)).waits_for(Waiting::Dwell { left: ms(300) });
    good.clone().pass(us(299_999)).instructor_has_the_craft();
    good.pass(ms(300)).student_has_all();
}

/// Given `requalify` 0, when a step loses the link and finds it good again, then the link counts as lost in that step.
/// Rules: L3, A1, A2
#[test]
fn a_link_lost_and_good_in_one_step_counts_as_lost() {
    let policy = with!(patient::<2>(), off_first_after_loss: false);
    let gap = lesson_with(policy).student(0, points(40)).student_flying().student_frames(false).pass(ms(140));
    let noticed = gap.student_frames(true).step_of(us(10_001)).instructor_has_the_craft().because(Cause::LinkLost);
    assert_eq!(noticed.outcome().link, Link::Good);
    let noticed = noticed.outputs(0, CENTRE).waits_for(Waiting::StudentLink { left: us(0) });
    noticed.step().student_has_all();
    // With `off_first_after_loss` the switch must be seen off first again.
    let policy = with!(policy, off_first_after_loss: true);
    let gap = lesson_with(policy).student_flying().student_frames(false).pass(ms(140));
    gap.student_frames(true)
        .step_of(us(10_001))
        .waits_for(Waiting::SwitchOffFirst)
        .pass(ms(5000))
        .waits_for(Waiting::SwitchOffFirst);
}

/// Given a link without frames for longer than the clock's range, when the clock wraps, then the link stays lost.
/// Rules: L1, N1
#[test]
fn a_link_silent_for_longer_than_the_clock_stays_lost() {
    let policy = with!(bare::<1>(), late_step: us(1 << 31), timeout: us(1 << 31), failsafe_after: us(1 << 31));
    let mut lesson = lesson_with(policy).student_flying().student_frames(false);
    lesson = lesson.step_of(us(1 << 31)).student_has_all().step_of(us(1)).because(Cause::LinkLost);
    for _ in 0..9 {
        lesson = lesson.step_of(us(1 << 31));
        assert_eq!(lesson.outcome().link, Link::Lost);
    }
}

/// Given frames from one side only, when the other side's signal is lost, then the first side's is not.
/// Rules: L1
#[test]
fn each_side_has_its_own_age() {
    let only_instructor = silent(patient(), ms(160));
    assert!(!only_instructor.outcome().instructor_lost);
    assert_eq!(only_instructor.outcome().link, Link::Lost);
    let only_student = lesson_with(patient::<2>()).student_flying().instructor_frames(false).pass(ms(160));
    assert!(only_student.outcome().instructor_lost);
    assert_eq!(only_student.outcome().link, Link::Good);
    only_student.student(0, around(CENTRE, 1)).step().outputs(0, CENTRE);
}
