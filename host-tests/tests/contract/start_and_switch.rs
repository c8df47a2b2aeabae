//! S: the start, and the lesson switch.

use handback::{Cause, Deflection, Link, Policy, Waiting};
use handback_host_tests::{bare, lesson, lesson_with, ms, points, reached, sprung, units, us, with};

/// Every timer is as short as possible, but `settle` is 30 ms.
fn settling() -> Policy<2> {
    with!(bare(), settle: ms(30))
}

/// Given a new engine, when the first good frame comes, then it is output as it stands.
/// Rules: S1
#[test]
fn the_first_good_frame_is_output_as_it_stands() {
    let sticks = [points(125), points(-125), points(37), units(1)];
    let lesson = lesson().instructor_sticks(sticks).step().instructor_has_the_craft().unannounced();
    assert_eq!(lesson.outcome().output.axes(), &sticks);
}

/// Given no frame yet, when steps pass, then nobody flies and the failsafe frame is output, unannounced.
/// Rules: S1, I2
#[test]
fn before_the_first_frame_nobody_flies_unannounced() {
    let mut policy = sprung::<2>();
    policy.axes[1].failsafe = points(-100);
    let mut lesson = lesson_with(policy).instructor_sticks([points(5), points(5)]).instructor_frames(false);
    for _ in 0..10 {
        lesson = lesson.step().nobody_has_the_craft().outputs(0, Deflection::CENTRE).outputs(1, points(-100));
        lesson = lesson.waits_for(Waiting::InstructorSignal);
        assert!(lesson.outcome().instructor_lost);
        assert_eq!(lesson.outcome().stick.axes(), &[Deflection::CENTRE, points(-100)]);
    }
    let lesson = lesson.instructor_frames(true).step().instructor_has_the_craft().outputs(1, points(5));
    lesson.has_announced(0);
}

/// Given no frame yet, when the first one is bad or comes after a late step, then the start is still unannounced.
/// Rules: S1, A1
#[test]
fn a_start_with_a_bad_or_late_frame_is_unannounced() {
    let waiting = lesson().instructor_frames(false).step().instructor_frames(true);
    let after_bad = waiting.clone().step_with_bad_frame().nobody_has_the_craft().outputs(3, Deflection::CENTRE);
    after_bad.step().instructor_has_the_craft().has_announced(0);
    waiting.step_of(ms(900)).instructor_has_the_craft().has_announced(0);
}

/// Given the switch on at power-up, when all else is in order for long, then nothing is handed over.
/// Rules: S2
#[test]
fn a_switch_on_at_power_up_hands_nothing_over() {
    lesson().switch_on().pass(ms(5000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst).has_announced(0);
}

/// Given the switch on at power-up, when it is seen off for `settle`, then it is seen off first, and not before.
/// Rules: S2
#[test]
fn a_switch_off_for_settle_is_seen_off_first() {
    for (off, off_first) in reached(ms(30)) {
        lesson_with(settling())
            .switch_on()
            .steps(3)
            .switch_off()
            .step()
            .pass(off)
            .switch_on()
            .pass(ms(1000))
            .student_has_all_if(off_first);
    }
}

/// Given the least `settle` that a policy may have, when the switch is seen off in one step, or in several steps of the
/// same instant, then it is not seen off first. With a second reading a microsecond later it is.
/// Rules: S2, P1
#[test]
fn one_off_reading_never_counts_as_seen_off() {
    let policy = with!(bare::<2>(), settle: us(1));
    assert!(with!(policy, settle: us(0)).check().is_err());
    let seen_off_once = || lesson_with(policy).switch_off().step();
    let same_instant = seen_off_once().step_of(us(0)).step_of(us(0));
    for not_off_first in [seen_off_once(), same_instant] {
        not_off_first.switch_on().pass(ms(1000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
    }
    seen_off_once().step_of(us(1)).switch_on().pass(ms(1000)).student_has_all();
    // The same after a late step: one off reading does not count as seen off.
    let late_step = || seen_off_once().step_of(us(1)).step_of(us(250_001));
    late_step().switch_on().pass(ms(1000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
    late_step().step_of(us(1)).switch_on().pass(ms(1000)).student_has_all();
}

/// Given an off that breaks, when its parts together reach `settle`, then the switch is not seen off first.
/// Rules: S2
#[test]
fn a_broken_off_does_not_add_up_to_seen_off() {
    let broken = lesson_with(settling()).switch_on().step().switch_off().steps(2).switch_on().step();
    let broken = broken.switch_off().steps(2).switch_on();
    broken.pass(ms(1000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
}

/// Given a student who flies, when a step is late, then the switch must be seen off first.
/// Rules: S2, K1
#[test]
fn after_a_late_step_the_switch_must_be_seen_off_first() {
    let late_step = lesson_with(settling()).student_flying().step_of(us(250_001));
    let still_on = late_step.pass(ms(5000)).instructor_has_the_craft().waits_for(Waiting::SwitchOffFirst);
    still_on.off_first_and_on().pass(ms(50)).student_has_all();
}

/// Given a student who flies, when the instructor's signal is lost and back, then the switch must be seen off first.
/// Rules: S2, I1
#[test]
fn after_a_lost_signal_the_switch_must_be_seen_off_first() {
    let gone = lesson_with(settling()).student_flying().instructor_frames(false).pass(ms(200));
    let back = gone.instructor_frames(true).pass(ms(5000));
    back.instructor_has_the_craft()
        .waits_for(Waiting::SwitchOffFirst)
        .off_first_and_on()
        .pass(ms(50))
        .student_has_all();
}

/// Given a link that is lost and good again, when `off_first_after_loss` is set, then the switch must be seen off
/// first, else not.
/// Rules: S2, L3
#[test]
fn off_first_after_loss_decides_what_a_lost_link_asks_for() {
    for off_first in [true, false] {
        let policy = with!(settling(), off_first_after_loss: off_first);
        let gone = lesson_with(policy).student_flying().student_frames(false).pass(ms(200));
        let back = gone.student_frames(true).pass(ms(1000)).student_has_all_if(!off_first);
        assert_eq!(back.outcome().link, Link::Good);
        if off_first {
            back.waits_for(Waiting::SwitchOffFirst).off_first_and_on().pass(ms(50)).student_has_all();
        }
    }
}

/// Given a link that only qualifies, when it is lost, then the switch stays seen off first.
/// Rules: S2, L2, L3
#[test]
fn a_qualifying_link_that_is_lost_leaves_off_first() {
    let policy = with!(settling(), requalify: ms(1000));
    let off_first = lesson_with(policy).off_first_and_on().pass(ms(100));
    let lost = off_first.student_frames(false).pass(ms(200));
    assert_eq!(lost.outcome().link, Link::Lost);
    lost.student_frames(true).step().pass(ms(1000)).student_has_all();
}

/// Given an off from before the loss, when the loss comes, then only the off from the step of the loss on counts.
/// Rules: S2
#[test]
fn only_the_off_from_the_step_of_the_loss_on_counts() {
    for (off, off_first) in reached(ms(30)) {
        // The switch has been off for 100 ms when the late step comes: its off counts from 0.
        let late_step = lesson_with(settling()).pass(ms(100)).step_of(us(250_001));
        late_step.pass(off).switch_on().pass(ms(1000)).student_has_all_if(off_first);
    }
}

/// Given a switch seen off first, when it goes off and on without a loss, then it is still seen off first.
/// Rules: S2
#[test]
fn a_switch_that_bounces_stays_seen_off_first() {
    let bounced = lesson_with(settling()).student_flying().switch_off().step().switch_on();
    bounced.step().pass(ms(30)).student_has_all();
}

/// Given a switch seen off first, when it is turned on, then it takes effect after `settle`, and not before.
/// Rules: S3
#[test]
fn turning_the_switch_on_takes_effect_after_settle() {
    for (on, effect) in reached(ms(30)) {
        let turned_on = lesson_with(settling()).off_first_and_on().step().waits_for(Waiting::Settling { left: ms(30) });
        turned_on.pass(on).student_has_all_if(effect);
    }
}

/// Given a switch that bounces while it settles, when it is on again, then settling begins again.
/// Rules: S3
#[test]
fn a_bounce_restarts_settling() {
    let bounced = lesson_with(settling()).off_first_and_on().steps(2).switch_off().step().switch_on().step();
    for (on, effect) in reached(ms(30)) {
        bounced.clone().pass(on).student_has_all_if(effect);
    }
}

/// Given a student who flies, when the switch is turned off, then the instructor has the craft in that step.
/// Rules: S3, T4
#[test]
fn turning_the_switch_off_takes_the_craft_in_that_step() {
    let off = lesson().student(1, points(60)).student_flying().outputs(1, points(60)).switch_off().step();
    off.instructor_has_the_craft().because(Cause::SwitchOff).outputs(1, Deflection::CENTRE).waits_for(Waiting::Switch);
}

/// A takeover by a stick with `keep`, which is let go again: the latch is on.
fn latched() -> handback_host_tests::Lesson<2> {
    let mut policy = settling();
    policy.axes[0].keep = true;
    lesson_with(policy).student_flying().roll(3).step().roll(0).step().waits_for(Waiting::Latch)
}

/// Given a latch, when the switch has been off for `settle`, then the latch is cleared, and not before.
/// Rules: S3, H2
#[test]
fn a_switch_off_for_settle_clears_the_latch() {
    for (off, cleared) in reached(ms(30)) {
        let on_again = latched().switch_off().step().pass(off).switch_on().step().pass(ms(100));
        let on_again = on_again.student_has_all_if(cleared);
        assert_eq!(on_again.outcome().waiting == Some(Waiting::Latch), !cleared);
    }
}

/// Given a switch that is off, when the link is lost meanwhile, then the latch is cleared `settle` after the first off.
/// Rules: S3, H2
#[test]
fn a_link_lost_in_the_off_does_not_delay_clearing() {
    for (off, cleared) in reached(ms(30)) {
        let mut policy = *latched().policy();
        policy.off_first_after_loss = false;
        let latched = lesson_with(policy).student_flying().roll(3).step().roll(0).step().waits_for(Waiting::Latch);
        // The student's last frame is 140 ms old when the switch goes off. The link is lost within `settle` after that.
        let off_from_here = latched.student_frames(false).pass(ms(140)).switch_off().step_of(ms(5));
        let lost = off_from_here.step_of(ms(6)).student_frames(true);
        assert_eq!(lost.outcome().link, Link::Lost);
        let on_again = lost.pass(us(off.as_ticks() - 6000)).switch_on().step().pass(ms(100));
        on_again.student_has_all_if(cleared);
    }
}

/// Given a takeover, when the switch has been off for `settle`, then the takeover has ended and cannot latch any more.
/// Rules: S3, H2
#[test]
fn a_switch_off_for_settle_ends_a_takeover() {
    for (off, ended) in reached(ms(30)) {
        let mut policy = settling();
        policy.axes[1].keep = true; // joins later
        let taken = lesson_with(policy).student_flying().roll(3).step().because(Cause::Stick(0));
        let off_and_on = taken.switch_off().step().pass(off).switch_on().step();
        let joined = off_and_on.instructor(1, points(3)).step().instructor(1, points(0)).roll(0).steps(5);
        joined.student_has_all_if(ended);
    }
}
