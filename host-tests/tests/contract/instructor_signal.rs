//! I: the instructor's signal.

use handback::{Cause, Deflection, Pilot, Policy, Reception, Waiting};
use handback_host_tests::{Lesson, bare, beyond, exceeded, lesson_with, ms, points, unsprung, us, with};

const CENTRE: Deflection = Deflection::CENTRE;

/// The signal is lost past 150 ms, failsafe comes past 1 s, and no step is late. Axis 1 goes to idle when nobody flies.
fn patient() -> Policy<2> {
    let mut policy = with!(bare(), late_step: ms(100_000), dwell: ms(100));
    policy.axes[1].failsafe = points(-100);
    policy
}

/// The student flies at 40 points, the instructor's sticks are at 1 point; then no instructor's frame comes for `time`.
fn silent(policy: Policy<2>, time: handback::Duration) -> Lesson<2> {
    let flying = lesson_with(policy).instructor_sticks([points(1); 2]).student_sticks([points(40); 2]).student_flying();
    flying.instructor_frames(false).pass(time)
}

/// Given no instructor's frames, when the last good frame is older than `timeout`, then the signal is lost, and not
/// before.
/// Rules: I1
#[test]
fn the_signal_is_lost_past_timeout_and_not_before() {
    for (age, lost) in exceeded(ms(150)) {
        let lesson = silent(patient(), age).student_has_all_if(!lost);
        assert_eq!(lesson.outcome().instructor_lost, lost);
        assert_eq!(lesson.outcome().event.map(|event| event.cause), lost.then_some(Cause::InstructorLost));
        // The last good frame is still output.
        lesson.outputs(0, if lost { points(1) } else { points(40) });
    }
}

/// Given no instructor's frames, when the last good frame is not older than `timeout`, then it stands in and nothing
/// changes.
/// Rules: I1
#[test]
fn up_to_timeout_the_last_good_frame_stands_in() {
    let silent = silent(patient(), ms(150)).student_has_all().unannounced();
    let sticks = [points(1); 2];
    assert_eq!(silent.outcome().stick.axes(), &sticks);
    assert_eq!(silent.outcome().instructor, Reception::Nothing);
    silent.instructor_frames(true).step_of(us(0)).student_has_all().has_announced(1);
}

/// Given bad frames from the instructor, when they go on, then they count as no frames and the last good frame is
/// output.
/// Rules: I1, T4
#[test]
fn bad_frames_count_as_none_and_are_never_output() {
    for (stick, bad) in beyond(CENTRE, points(150)) {
        let flying = silent(patient(), ms(0)).instructor_frames(true).switch_off().step().outputs(0, points(1));
        let sent = flying.instructor(0, stick).step().outputs(0, if bad { points(1) } else { stick });
        assert_eq!(sent.outcome().instructor, if bad { Reception::Bad } else { Reception::Good });
        let on = sent.pass(ms(140));
        assert_eq!(on.outcome().instructor_lost, bad);
        on.pass(ms(1000)).outputs(1, if bad { points(-100) } else { points(1) });
    }
}

/// Given an axis that is neither watched nor shared, when the instructor's value is implausible, then the frame is bad.
/// Rules: I1, T4
#[test]
fn an_implausible_axis_without_a_part_makes_a_frame_bad() {
    let policy = with!(patient(), watched: handback::AxisSet::of(&[0]), shared: handback::AxisSet::of(&[0]));
    let bad = silent(policy, ms(0)).instructor_frames(true).instructor(1, points(151)).step();
    bad.because(Cause::BadFrame).outputs(1, points(1));
}

/// Given a lost signal, when a good frame comes, then the signal is back in that step and nothing is handed over.
/// Rules: I1, S2
#[test]
fn a_signal_that_is_back_hands_nothing_over() {
    let lost = silent(patient(), ms(500)).instructor_has_the_craft().has_announced(2);
    let back = lost.instructor_frames(true).instructor_sticks([points(2); 2]).step();
    assert!(!back.outcome().instructor_lost);
    // The instructor had the craft while the signal was lost: who flies has not changed.
    let back = back.instructor_has_the_craft().outputs(0, points(2)).unannounced().waits_for(Waiting::SwitchOffFirst);
    back.instructor_sticks([CENTRE; 2]).pass(ms(10_000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
}

/// Given a gap, when the step that notices it brings a frame, then the signal was lost and is back at once.
/// Rules: I1, A1
#[test]
fn a_step_that_notices_a_gap_loses_and_finds_the_signal() {
    for (age, lost) in exceeded(ms(150)) {
        let gap = silent(patient(), ms(140)).instructor_frames(true).step_of(us(age.as_ticks() - 140_000));
        let gap = gap.student_has_all_if(!lost);
        assert!(!gap.outcome().instructor_lost);
        assert_eq!(gap.outcome().event.map(|event| event.cause), lost.then_some(Cause::InstructorLost));
        assert_eq!(gap.outcome().waiting, lost.then_some(Waiting::SwitchOffFirst));
        gap.pass(ms(5000)).student_has_all_if(!lost);
    }
}

/// Given no instructor's frames, when the age exceeds `failsafe_after`, then nobody flies and the failsafe frame is
/// output.
/// Rules: I2
#[test]
fn past_failsafe_after_nobody_flies() {
    for (age, nobody) in exceeded(ms(1000)) {
        let lesson = silent(patient(), age);
        let pilot = if nobody { Pilot::Nobody } else { Pilot::Instructor };
        assert_eq!(lesson.outcome().pilot, pilot);
        assert_eq!(lesson.outcome().event.map(|event| event.cause), nobody.then_some(Cause::InstructorLost));
        lesson.outputs(0, if nobody { CENTRE } else { points(1) }).outputs(1, points(if nobody { -100 } else { 1 }));
    }
}

/// Given that nobody flies, when a good frame comes, then the instructor has the craft in that step.
/// Rules: I2, A1
#[test]
fn after_nobody_a_good_frame_gives_the_instructor_the_craft() {
    let nobody = silent(patient(), ms(5000)).nobody_has_the_craft().waits_for(Waiting::InstructorSignal);
    let back = nobody.has_announced(3).instructor_frames(true).step().instructor_has_the_craft();
    back.because(Cause::InstructorBack).outputs(0, points(1)).outputs(1, points(1)).has_announced(4);
}

/// Given that nobody flies, when only bad frames come, then still nobody flies.
/// Rules: I2
#[test]
fn bad_frames_do_not_end_nobody_flies() {
    silent(patient(), ms(5000)).instructor_frames(true).step_with_bad_frame().nobody_has_the_craft().outputs(0, CENTRE);
}

/// Given a student whose frames go on, when the instructor's signal is gone, then the student never has the craft.
/// Rules: I2, L1
#[test]
fn the_student_is_never_left_alone_with_the_craft() {
    let mut lesson = silent(patient(), ms(160));
    for _ in 0..200 {
        lesson = lesson.step();
        assert!(lesson.outcome().pilot.student().is_empty());
    }
    lesson.nobody_has_the_craft().off_first_and_on().pass(ms(5000)).nobody_has_the_craft();
}

/// Given a `failsafe_after` equal to `timeout`, when the signal is lost, then nobody flies at once.
/// Rules: I2
#[test]
fn a_failsafe_after_as_short_as_timeout_acts_at_once() {
    for (age, nobody) in exceeded(ms(150)) {
        let lesson = silent(with!(patient(), failsafe_after: ms(150)), age);
        let pilot = if nobody { Pilot::Nobody } else { Pilot::with_student(lesson.policy().shared) };
        assert_eq!(lesson.outcome().pilot, pilot);
        assert_eq!(lesson.outcome().event.map(|event| event.cause), nobody.then_some(Cause::InstructorLost));
    }
}

/// Given an age past `failsafe_after`, when the step that notices it brings a frame, then the instructor has the craft.
/// Rules: I2
#[test]
fn a_frame_in_the_step_past_failsafe_after_is_flown() {
    let back = silent(patient(), ms(0)).instructor_frames(true).step_of(ms(5000));
    back.instructor_has_the_craft().because(Cause::InstructorLost).outputs(1, points(1));
}

/// Given an axis that waits for its pickup, when nobody flies, then the failsafe frame is output.
/// Rules: I2, T6
#[test]
fn failsafe_outputs_its_frame_in_spite_of_a_pickup() {
    let mut policy = with!(patient(), pickup_max: ms(100_000));
    policy.axes[1] = with!(unsprung(), keep: false);
    let left = lesson_with(policy).pass(ms(600)).student_sticks([points(40); 2]).student_flying();
    let waiting = left.roll(3).step().waits_to_pick_up(&[1]).outputs(1, points(40)).instructor_frames(false);
    waiting.pass(ms(1020)).nobody_has_the_craft().outputs(1, points(-100)).waits_to_pick_up(&[]);
}

/// Given an age of exactly `timeout`, when the next step notices the loss, then off first and rows are gone.
/// Rules: I1, S2, R3
#[test]
fn a_loss_right_after_timeout_clears_off_first_and_rows() {
    let at_timeout = silent(patient(), ms(150)).student_has_all();
    let lost = at_timeout.step().because(Cause::InstructorLost).instructor_frames(true);
    lost.instructor_sticks([CENTRE; 2]).pass(ms(5000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
    let mut policy = patient();
    policy.axes[0].confirm = 2;
    let row = lesson_with(policy).step().roll(3).step().instructor_frames(false).pass(ms(150));
    row.instructor_frames(true).step().holds(&[]).step().holds(&[0]);
}

/// Given an axis that waits for its pickup, when one step goes from a good signal to nobody, then the wait ends for
/// good.
/// Rules: I2, T6, K1
#[test]
fn a_step_from_a_good_signal_to_nobody_ends_a_pickup() {
    let mut policy = with!(patient(), late_step: ms(250), failsafe_after: ms(150), pickup_max: ms(100_000));
    policy.axes[1] = handback_host_tests::parked(CENTRE);
    let flying = lesson_with(policy).student_sticks([points(40); 2]).student_flying();
    let waiting = flying.roll(3).step().waits_to_pick_up(&[1]).instructor_frames(false);
    for gone in [waiting.clone().pass(ms(160)), waiting.step_of(us(250_001))] {
        let back = gone.nobody_has_the_craft().waits_to_pick_up(&[]).instructor_frames(true).step();
        back.instructor_has_the_craft().waits_to_pick_up(&[]).outputs(1, CENTRE);
    }
}
