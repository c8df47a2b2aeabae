//! The requirements of Directive 2006/42/EC, Annex I, for the remote control of machines and for their start.
//! (Regulation (EU) 2023/1230 replaces the directive in January 2027.)
//!
//! A model is not a machine in the directive's sense. The requirements are useful here all the same.

use handback::{Cause, Deflection, Pilot, Waiting};
use handback_host_tests::{lesson, lesson_with, ms, points, sprung, with};

/// Given cable-less control, when correct signals from the student stay away, then the safe state comes without any
/// action.
/// Rules: L1, L3, T4
#[test]
fn without_correct_student_signals_the_safe_state_comes() {
    // Directive 2006/42/EC, Annex I, 1.2.1: correct signals are not received, which includes a loss of communication.
    let flying = lesson().student(0, points(80)).student_flying();
    let no_signal = flying.clone().student_frames(false).pass(ms(160));
    no_signal.instructor_has_the_craft().because(Cause::LinkLost).outputs(0, Deflection::CENTRE);
    // The same where signals come that are not correct.
    let not_correct = flying.student(0, Deflection::MAX).pass(ms(160));
    not_correct.instructor_has_the_craft().because(Cause::LinkLost).outputs(0, Deflection::CENTRE);
}

/// Given cable-less control, when correct signals from the instructor stay away, then the safe state comes without any
/// action.
/// Rules: I1, I2, T4
#[test]
fn without_correct_instructor_signals_the_safe_state_comes() {
    // Directive 2006/42/EC, Annex I, 1.2.1.
    let mut policy = sprung::<4>();
    policy.axes[2].failsafe = points(-100);
    let flying = lesson_with(policy).student_flying();
    let no_signal = flying.clone().instructor_frames(false).pass(ms(160)).because(Cause::InstructorLost);
    no_signal.instructor_has_the_craft().pass(ms(1000)).nobody_has_the_craft().outputs(2, points(-100));
    let not_correct = flying.instructor(1, Deflection::MIN).step().because(Cause::BadFrame);
    not_correct.pass(ms(1160)).nobody_has_the_craft().outputs(2, points(-100));
}

/// Given a switch that was left on, when power comes, then nothing starts by itself.
/// Rules: S2, S1
#[test]
fn a_switch_left_on_starts_nothing_at_power_up() {
    // Directive 2006/42/EC, Annex I, 1.2.3: a start only by voluntary actuation of the control provided for it.
    let on = lesson().switch_on().pass(ms(10_000)).instructor_has_the_craft().has_announced(0);
    on.off_first_and_on().pass(ms(2000)).student_has_all();
}

/// Given anything that stopped the lesson, when it is over, then that starts nothing and only permits a new start.
/// Rules: S2, L3, I1, K1
#[test]
fn the_end_of_a_stop_only_permits_a_new_start() {
    // Directive 2006/42/EC, Annex I, 1.2.4.3: disengaging a stop only permits restarting.
    // ISO 13849-1:2015 (third edition), 5.2.2, manual reset, from memory: a separate, deliberate act that by itself
    // starts nothing.
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

/// Given no `off_first_after_loss`, when the link returns, then the student gets the craft without a new start. So it
/// is set by default.
/// Rules: S2, L3
#[test]
fn off_first_is_the_default_as_a_link_alone_would_start() {
    // The same paragraphs. This shows what a policy without `off_first_after_loss` gives up.
    let policy = with!(sprung::<2>(), off_first_after_loss: false);
    lesson_with(policy)
        .student_flying()
        .student_frames(false)
        .pass(ms(500))
        .student_frames(true)
        .pass(ms(2000))
        .student_has_all();
    assert!(sprung::<2>().off_first_after_loss, "the default");
}
