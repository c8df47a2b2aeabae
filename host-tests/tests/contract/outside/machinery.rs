//! What the law asks of machines that are controlled from afar, and of their start: Directive 2006/42/EC, Annex I.
//! (Regulation (EU) 2023/1230 takes its place in January 2027.)
//!
//! A model is no machine in its sense; the thoughts are worth having all the same.

use handback::{Cause, Deflection, Pilot, Policy, Waiting};
use handback_host_tests::{lesson, lesson_with, ms, points, sprung};

/// Rules: L1, L3, T4
#[test]
fn given_cable_less_control_when_correct_signals_from_the_student_stay_away_then_the_safe_state_comes_by_itself() {
    // Directive 2006/42/EC, Annex I, 1.2.1: correct signals not received, a loss of communication included.
    let flying = lesson().student(0, points(80)).student_flying();
    let no_signal = flying.clone().student_frames(false).pass(ms(160));
    no_signal.instructor_has_the_craft().because(Cause::LinkLost).outputs(0, Deflection::CENTRE);
    // Signals that come and are not correct count the same.
    let not_correct = flying.student(0, Deflection::MAX).pass(ms(160));
    not_correct.instructor_has_the_craft().because(Cause::LinkLost).outputs(0, Deflection::CENTRE);
}

/// Rules: I1, I2, T4
#[test]
fn given_cable_less_control_when_correct_signals_from_the_instructor_stay_away_then_the_safe_state_comes_by_itself() {
    // Directive 2006/42/EC, Annex I, 1.2.1.
    let mut policy = sprung::<4>();
    policy.axes[2].failsafe = points(-100);
    let flying = lesson_with(policy).student_flying();
    let no_signal = flying.clone().instructor_frames(false).pass(ms(160)).because(Cause::InstructorLost);
    no_signal.instructor_has_the_craft().pass(ms(1000)).nobody_has_the_craft().outputs(2, points(-100));
    let not_correct = flying.instructor(1, Deflection::MIN).step().because(Cause::BadFrame);
    not_correct.pass(ms(1160)).nobody_has_the_craft().outputs(2, points(-100));
}

/// Rules: S2, S1
#[test]
fn given_the_switch_left_on_when_power_comes_then_nothing_starts_by_itself() {
    // Directive 2006/42/EC, Annex I, 1.2.3: a start only by voluntary actuation of the control provided for it.
    let on = lesson().switch_on().pass(ms(10_000)).instructor_has_the_craft().has_announced(0);
    on.armed_and_on().pass(ms(2000)).student_has_all();
}

/// Rules: S2, L3, I1, K1
#[test]
fn given_whatever_stopped_the_lesson_when_it_is_over_then_that_starts_nothing_and_only_permits_a_new_start() {
    // Directive 2006/42/EC, Annex I, 1.2.4.3: disengaging a stop only permits restarting.
    // ISO 13849-1:2015 (third edition), 5.2.2, manual reset, from memory: a separate, deliberate act that by itself starts nothing.
    let flying = || lesson().student_flying();
    let over = [
        flying().student_frames(false).pass(ms(500)).student_frames(true),
        flying().instructor_frames(false).pass(ms(500)).instructor_frames(true),
        flying().instructor_frames(false).pass(ms(2000)).instructor_frames(true),
        flying().step_of(ms(300)),
        flying().instructor_now(true).step().instructor_now(false),
    ];
    for stopped in over {
        let over = stopped.pass(ms(10_000));
        assert_eq!(over.outcome().pilot, Pilot::Instructor, "{:?}", over.events());
        let reset = over.switch_off().pass(ms(10_000)).instructor_has_the_craft().waits_for(Waiting::Switch);
        reset.switch_on().pass(ms(400)).student_has_all();
    }
}

/// Rules: S2, L3
#[test]
fn given_no_off_first_when_the_link_returns_then_it_does_start_by_itself_so_the_default_is_off_first() {
    // The same paragraphs; here to show what the policy's other choice gives up.
    let policy = Policy { off_first_after_loss: false, ..sprung::<2>() };
    lesson_with(policy)
        .student_flying()
        .student_frames(false)
        .pass(ms(500))
        .student_frames(true)
        .pass(ms(2000))
        .student_has_all();
    assert!(sprung::<2>().off_first_after_loss, "the default");
}
