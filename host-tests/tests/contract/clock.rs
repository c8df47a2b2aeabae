//! K1: a clock that stands still, jumps, runs backwards or wraps.

use handback::{Cause, Deflection, Frame, Instant, Link, Outcome, Pilot, Policy, Waiting};
use handback_host_tests::{Lesson, bare, exceeded, lesson, lesson_with, ms, points, sprung, us, with};

/// A short `late_step`, ages of 10 s for both signals, and a link that is good at once.
fn late_steps() -> Policy<2> {
    let ages = with!(bare(), timeout: ms(10_000), failsafe_after: ms(10_000));
    with!(ages, dwell: ms(100), late_step: ms(250))
}

fn flying() -> Lesson<2> {
    lesson_with(late_steps()).student(0, points(40)).student_flying()
}

/// Given a student who flies, when a step comes later than `late_step`, then the instructor has the craft. Up to
/// `late_step` the student keeps it.
/// Rules: K1
#[test]
fn a_step_later_than_late_step_takes_the_craft() {
    for (dt, late_step) in exceeded(ms(250)) {
        let late = flying().step_of(dt).student_has_all_if(!late_step);
        assert_eq!(late.outcome().event.map(|event| event.cause), late_step.then_some(Cause::LateStep));
        late.pass(ms(5000)).student_has_all_if(!late_step);
    }
}

/// Given frames in a late step, when they are looked at, then both signals have been lost in it and are back.
/// Rules: K1, L3
#[test]
fn frames_in_a_late_step_find_both_signals_lost_and_back() {
    let policy = with!(late_steps(), requalify: ms(1000));
    let late_step = lesson_with(policy).student_flying().step_of(us(250_001)).waits_for(Waiting::SwitchOffFirst);
    assert!(!late_step.outcome().instructor_lost);
    assert_eq!(late_step.outcome().link, Link::Qualifying);
}

/// Given a late step without a good instructor's frame, when the late step is noticed, then nobody flies.
/// Rules: K1, I2
#[test]
fn in_a_late_step_without_a_frame_nobody_flies() {
    let mut policy = late_steps();
    policy.axes[1].failsafe = points(-100);
    let flying = lesson_with(policy).student_flying().instructor_frames(false);
    let late_step = flying.clone().step_of(us(250_001)).nobody_has_the_craft().because(Cause::LateStep);
    let late_step = late_step.outputs(1, points(-100)).waits_for(Waiting::InstructorSignal);
    assert!(late_step.outcome().instructor_lost);
    assert_eq!(late_step.outcome().link, Link::Good, "its frame came, and requalify is 0");
    let bad = flying.instructor_frames(true).instructor(1, Deflection::MAX).step_of(us(250_001));
    bad.nobody_has_the_craft().because(Cause::LateStep);
}

/// Given a late step without a student's frame, when the late step is noticed, then the link is lost.
/// Rules: K1
#[test]
fn a_late_step_without_a_student_frame_loses_the_link() {
    let late_step = flying().student_frames(false).step_of(us(250_001));
    assert_eq!(late_step.outcome().link, Link::Lost);
}

/// Given a policy without `off_first_after_loss`, when all is well again after a late step, then the switch must still
/// be seen off first.
/// Rules: K1, S2
#[test]
fn a_late_step_always_asks_for_off_first() {
    let policy = with!(late_steps(), off_first_after_loss: false);
    let late_step = lesson_with(policy).student_flying().step_of(us(250_001));
    late_step
        .pass(ms(5000))
        .waits_for(Waiting::SwitchOffFirst)
        .off_first_and_on()
        .step()
        .pass(ms(100))
        .student_has_all();
}

/// Given a clock that runs backwards, when the step comes, then it is a late step.
/// Rules: K1
#[test]
fn a_clock_that_runs_backwards_makes_a_late_step() {
    for back in [1, 20_000, 1_000_000_000] {
        flying().step_of(us(u32::MAX - back + 1)).instructor_has_the_craft().because(Cause::LateStep);
    }
}

/// Given a clock that stands still, when steps come, then nothing is lost and no timer runs.
/// Rules: K1
#[test]
fn a_clock_that_stands_still_loses_nothing() {
    let mut lesson = flying().roll(3).step().roll(0).step().step();
    for _ in 0..1000 {
        lesson = lesson.step_of(us(0)).waits_for(Waiting::Dwell { left: ms(100) });
    }
    lesson.pass(ms(100)).student_has_all();
}

/// Given the first step, when the clock reads any instant, then the step is not late.
/// Rules: K1
#[test]
fn the_first_step_is_never_late() {
    for reading in [0, 1, 250_001, 1 << 31, u32::MAX] {
        let first = lesson().starting_at(reading).step().instructor_has_the_craft();
        assert_eq!(first.outcome().at, Instant::from_ticks(reading));
        first.student_flying().student_has_all();
    }
}

/// The outcomes of a varied lesson, with the clock starting at `start`.
fn varied(start: u32) -> Vec<Outcome<4>> {
    let mut policy = sprung::<4>();
    policy.axes[2] = handback_host_tests::unsprung();
    let mut outcomes = Vec::new();
    let mut lesson = lesson_with(policy).starting_at(start).student_sticks([points(30); 4]).pass(ms(700));
    lesson = lesson.student_flying();
    for (at, silent) in [(0, false), (3, false), (0, false), (-4, true), (0, false), (0, false)] {
        lesson = lesson.roll(at).instructor(2, points(at * 10)).student_frames(!silent);
        for _ in 0..40 {
            lesson = lesson.step_of(us(19_997));
            outcomes.push(*lesson.outcome());
        }
        lesson = lesson.off_first_and_on();
    }
    outcomes
}

/// Given a lesson, when the clock wraps anywhere in it, then nothing changes.
/// Rules: K1, N2
#[test]
fn a_clock_that_wraps_changes_nothing() {
    let reference = varied(0);
    let outputs: Vec<Frame<4>> = reference.iter().map(|outcome| outcome.output).collect();
    for start in [u32::MAX, u32::MAX - 700_000, u32::MAX - 2_000_000, u32::MAX - 4_000_001, 1 << 31] {
        let wrapped = varied(start);
        for (plain, wrapped) in reference.iter().zip(&wrapped) {
            assert_eq!(wrapped.at.as_ticks().wrapping_sub(start), plain.at.as_ticks());
            let moved = wrapped.event.map(|event| handback::Event { at: plain.at, ..event });
            assert_eq!(*plain, Outcome { at: plain.at, event: moved, ..*wrapped }, "start {start}");
        }
    }
    assert!(outputs.iter().any(|output| output.get(0) == Some(points(30))), "the student flew");
    assert!(reference.iter().any(|outcome| outcome.pilot == Pilot::Instructor), "and the instructor");
}

/// Given a timer of half the clock's range, when it runs for longer than the clock's range, then it saturates.
/// Rules: K1, N1
#[test]
fn a_timer_saturates_past_half_the_clocks_range() {
    let long = us(1 << 31);
    let policy = with!(bare::<1>(), dwell: long, late_step: long, timeout: long, failsafe_after: long);
    let begun = lesson_with(policy).off_first_and_on().step();
    begun.clone().step_of(us((1 << 31) - 1)).instructor_has_the_craft().step_of(us(1)).student_has_all();
    // A closed gate holds the set back while the dwell's timer runs past the end of its range.
    let mut gated = policy;
    gated.axes[0].window = Some(points(5));
    let mut lesson = lesson_with(gated).student(0, points(50)).off_first_and_on().step();
    for _ in 0..5 {
        lesson = lesson.step_of(us(1 << 31)).waits_for(Waiting::Gate(0));
    }
    lesson.student(0, points(0)).step().student_has_all();
}
