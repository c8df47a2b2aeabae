//! L: the student link.

use handback::{Cause, Deflection, Link, Policy, Reception, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, exceeded, lesson, lesson_with, ms, points, reached, sprung, us,
};

const CENTRE: Deflection = Deflection::CENTRE;

/// The link is lost after 150 ms, and no step is late.
fn patient<const N: usize>() -> Policy<N> {
    Policy { late_step: ms(100_000), ..bare() }
}

/// A link that has been silent since the student flew, in ordinary steps with the instructor's frames.
fn silent(policy: Policy<2>, time: handback::Duration) -> Lesson<2> {
    lesson_with(policy).student(0, points(40)).student_flying().student_frames(false).pass(time)
}

/// Rules: L1
#[test]
fn given_a_silent_student_when_the_last_good_frame_is_older_than_timeout_then_the_link_is_lost_and_not_before() {
    for (age, lost) in exceeded(ms(150)) {
        let lesson = silent(patient(), age).student_has_all_if(!lost);
        assert_eq!(lesson.outcome().link, if lost { Link::Lost } else { Link::Good });
        lesson.outputs(0, if lost { CENTRE } else { points(40) });
    }
}

/// Rules: L1, L3
#[test]
fn given_a_gap_longer_than_timeout_when_the_step_that_notices_it_brings_a_frame_then_the_link_was_lost_all_the_same() {
    let policy = Policy { requalify: ms(1000), ..patient::<2>() };
    // The instructor's frames come all along: the gap is the student's alone.
    for (age, lost) in exceeded(ms(150)) {
        let gap = lesson_with(policy).student_flying().student_frames(false).pass(ms(140));
        let noticed = gap.student_frames(true).step_of(us(age.as_ticks() - 140_000)).student_has_all_if(!lost);
        assert_eq!(noticed.outcome().link, if lost { Link::Qualifying } else { Link::Good });
        assert_eq!(noticed.outcome().event.map(|event| event.cause), lost.then_some(Cause::LinkLost));
    }
}

/// Rules: L1
#[test]
fn given_a_good_frame_in_time_when_it_comes_then_the_age_begins_anew() {
    let mut lesson = silent(patient(), ms(140));
    for _ in 0..20 {
        lesson = lesson.student_frames(true).step_of(ms(10)).student_frames(false).pass(ms(140)).student_has_all();
    }
    lesson.step().because(Cause::LinkLost);
}

/// Rules: L1
#[test]
fn given_bad_frames_from_the_student_when_they_come_then_they_count_as_none_and_are_never_output() {
    for (stick, bad) in beyond(CENTRE, points(150)) {
        let flying = lesson_with(patient::<2>()).student(0, points(40)).student_flying().student(0, stick).step();
        assert_eq!(flying.outcome().student, if bad { Reception::Bad } else { Reception::Good });
        let flying = flying.outputs(0, if bad { points(40) } else { stick }).student_has_all();
        let later = flying.pass(ms(140)).student_has_all_if(!bad);
        assert_eq!(later.outcome().event.map(|event| event.cause), bad.then_some(Cause::LinkLost));
    }
}

/// Rules: L1
#[test]
fn given_a_student_axis_that_is_not_shared_when_it_is_implausible_then_the_frame_is_good() {
    let policy = Policy { shared: axes(&[0]), ..patient::<2>() };
    let flying = lesson_with(policy).student_sticks([points(40), Deflection::MAX]).student_flying().pass(ms(1000));
    assert_eq!(flying.outcome().student, Reception::Good);
    flying.student_has_all().outputs(1, CENTRE);
}

/// Rules: L1
#[test]
fn given_a_student_flying_when_frames_come_rarely_then_no_axis_ever_shows_a_value_older_than_timeout() {
    let mut lesson = lesson_with(patient::<2>()).student_flying();
    for (round, silence) in (0i16..).zip([0, 20, 60, 140, 160, 300, 100, 150, 40]) {
        let sent = points(30 + round);
        lesson = lesson.student(0, sent).student_frames(true).step();
        if lesson.outcome().pilot.student().is_empty() {
            lesson = lesson.armed_and_on().pass(ms(40)).student_has_all();
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

/// Rules: L2
#[test]
fn given_a_new_engine_when_no_student_frame_came_then_the_link_is_lost() {
    let lesson = lesson().student_frames(false).step().pass(ms(3000));
    assert_eq!(lesson.outcome().link, Link::Lost);
    assert_eq!(lesson.outcome().student, Reception::Nothing);
}

/// Rules: L2
#[test]
fn given_the_first_good_frame_when_it_has_gone_on_for_requalify_then_the_link_is_good_and_not_before() {
    for (elapsed, good) in reached(ms(1000)) {
        let first = lesson().student_frames(false).steps(3).student_frames(true).step();
        assert_eq!(first.outcome().link, Link::Qualifying);
        assert_eq!(first.pass(elapsed).outcome().link, if good { Link::Good } else { Link::Qualifying });
    }
}

/// Rules: L2
#[test]
fn given_a_first_frame_that_is_bad_when_it_comes_then_it_does_not_start_qualifying() {
    let policy = Policy { requalify: ms(100), ..patient::<1>() };
    let bad = lesson_with(policy).student(0, points(151)).pass(ms(500));
    assert_eq!(bad.outcome().link, Link::Lost);
    let good = bad.student(0, CENTRE).step();
    assert_eq!(good.clone().pass(us(99_999)).outcome().link, Link::Qualifying);
    assert_eq!(good.pass(ms(100)).outcome().link, Link::Good);
}

/// Rules: L2
#[test]
fn given_a_qualifying_link_when_it_is_lost_then_qualifying_begins_anew_with_the_next_good_frame() {
    let lost = lesson().step().pass(ms(900)).student_frames(false).pass(ms(160));
    assert_eq!(lost.outcome().link, Link::Lost);
    let again = lost.student_frames(true).step();
    assert_eq!(again.clone().pass(us(999_999)).outcome().link, Link::Qualifying);
    assert_eq!(again.pass(ms(1000)).outcome().link, Link::Good);
}

/// Rules: L2
#[test]
fn given_a_qualifying_link_when_frames_stay_away_for_less_than_timeout_then_it_goes_on_qualifying_and_can_become_good()
{
    let almost = lesson().step().pass(ms(900)).student_frames(false).pass(us(99_999));
    assert_eq!(almost.outcome().link, Link::Qualifying);
    assert_eq!(almost.step_of(us(1)).outcome().link, Link::Good);
}

/// Rules: L2
#[test]
fn given_requalify_0_when_the_first_good_frame_comes_then_the_link_is_good_in_that_step() {
    assert_eq!(lesson_with(patient::<1>()).step().outcome().link, Link::Good);
}

/// Rules: L3, T4, A1
#[test]
fn given_a_student_flying_when_the_link_is_lost_then_the_craft_is_the_instructors_in_that_step() {
    silent(sprung(), ms(140)).student_has_all().step().because(Cause::LinkLost).outputs(0, CENTRE);
}

/// Rules: L3, S2
#[test]
fn given_off_first_after_loss_when_a_link_comes_back_then_nothing_is_handed_over_until_the_switch_is_seen_off_first() {
    let back = silent(sprung(), ms(200)).student_frames(true).pass(ms(5000));
    assert_eq!(back.outcome().link, Link::Good);
    back.instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst).student_flying().student_has_all();
}

/// Rules: L3, L2, H1
#[test]
fn given_no_off_first_when_a_link_comes_back_then_the_student_waits_for_requalify_and_the_dwell() {
    let policy = Policy { off_first_after_loss: false, requalify: ms(1000), dwell: ms(300), ..patient() };
    let back = silent(policy, ms(200)).student_frames(true).step();
    let back = back.pass(us(999_999)).waits_for(Waiting::StudentLink { left: us(1) });
    let good = back.step_of(us(1)).waits_for(Waiting::Dwell { left: ms(300) });
    good.clone().pass(us(299_999)).instructor_has_the_craft();
    good.pass(ms(300)).student_has_all();
}

/// Rules: L3, A1, A2
#[test]
fn given_requalify_0_when_a_step_loses_the_link_and_finds_it_good_again_then_it_counts_as_lost_in_that_step() {
    let policy = Policy { off_first_after_loss: false, ..patient::<2>() };
    let gap = lesson_with(policy).student(0, points(40)).student_flying().student_frames(false).pass(ms(140));
    let noticed = gap.student_frames(true).step_of(us(10_001)).instructor_has_the_craft().because(Cause::LinkLost);
    assert_eq!(noticed.outcome().link, Link::Good);
    let noticed = noticed.outputs(0, CENTRE).waits_for(Waiting::StudentLink { left: us(0) });
    noticed.step().student_has_all();
    // With off first after a loss it is seen off first no longer.
    let policy = Policy { off_first_after_loss: true, ..policy };
    let gap = lesson_with(policy).student_flying().student_frames(false).pass(ms(140));
    gap.student_frames(true)
        .step_of(us(10_001))
        .waits_for(Waiting::SwitchOffFirst)
        .pass(ms(5000))
        .waits_for(Waiting::SwitchOffFirst);
}

/// Rules: L1, N1
#[test]
fn given_a_link_that_is_silent_for_longer_than_the_clock_when_it_wraps_then_it_stays_lost() {
    let policy = Policy { late_step: us(1 << 31), timeout: us(1 << 31), failsafe_after: us(1 << 31), ..bare::<1>() };
    let mut lesson = lesson_with(policy).student_flying().student_frames(false);
    lesson = lesson.step_of(us(1 << 31)).student_has_all().step_of(us(1)).because(Cause::LinkLost);
    for _ in 0..9 {
        lesson = lesson.step_of(us(1 << 31));
        assert_eq!(lesson.outcome().link, Link::Lost);
    }
}

/// Rules: L1
#[test]
fn given_a_frame_that_is_good_for_one_side_when_the_other_is_silent_then_each_side_has_its_own_age() {
    let only_instructor = silent(patient(), ms(160));
    assert!(!only_instructor.outcome().instructor_lost);
    assert_eq!(only_instructor.outcome().link, Link::Lost);
    let only_student = lesson_with(patient::<2>()).student_flying().instructor_frames(false).pass(ms(160));
    assert!(only_student.outcome().instructor_lost);
    assert_eq!(only_student.outcome().link, Link::Good);
    only_student.student(0, around(CENTRE, 1)).step().outputs(0, CENTRE);
}
