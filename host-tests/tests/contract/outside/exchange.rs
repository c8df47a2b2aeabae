//! The positive three-step exchange of flight controls: FAA-H-8083-3C, Airplane Flying Handbook, chapter 1, and
//! FAA-H-8083-9B, Aviation Instructor's Handbook (edition letters from memory).
//!
//! One pilot offers, the other takes, the first confirms. The pilot who hands over stays on the controls until that is
//! complete. An instructor who takes over waits for nothing: common practice, no source.

use handback::{Cause, Deflection, Pilot, Waiting};
use handback_host_tests::{lesson, ms, points};

/// Given that the instructor offers the craft, when the student has not got it yet, then the instructor flies until the
/// change is announced.
/// Rules: H1, A1, A2
#[test]
fn the_instructor_stays_on_until_the_change_is_announced() {
    // FAA-H-8083-3C, chapter 1.
    let mut lesson = lesson().pass(ms(2000)).student(0, points(-90)).off_first_and_on();
    let mut moved = 0;
    loop {
        moved = (moved + 1) % 2; // the instructor still flies, by a point to and fro
        lesson = lesson.roll(moved).step();
        if lesson.outcome().pilot != Pilot::Instructor {
            break;
        }
        lesson = lesson.outputs(0, points(moved)).unannounced();
        assert!(lesson.outcome().waiting.is_some(), "and hears what the offer waits for");
    }
    // The change, the new pilot and the event come in the same step.
    let handed = lesson.student_has_all().because(Cause::HandedBack);
    assert!(
        handed.outcome().output.get(0) == Some(points(1 - moved)),
        "without a jump: from the instructor's last output"
    );
}

/// Given a student who flies, when the instructor takes over by stick, instructor now or switch, then there is nothing
/// to wait for.
/// Rules: T2, A1
#[test]
fn the_instructor_takes_over_without_waiting() {
    // Common practice, no source: taking over never waits for the other pilot's answer.
    let flying = || lesson().student(0, points(-90)).student_flying();
    flying().roll(50).step().because(Cause::Stick(0)).outputs(0, points(50));
    flying().instructor_now(true).step().because(Cause::InstructorNow).outputs(0, Deflection::CENTRE);
    flying().switch_off().step().because(Cause::SwitchOff).outputs(0, Deflection::CENTRE);
}

/// Given any moment of an exchange, when someone asks who flies, then there is exactly one answer.
/// Rules: A1, A2
#[test]
fn at_any_moment_there_is_one_answer_to_who_flies() {
    // FAA-H-8083-3C, chapter 1: there should never be any doubt as to who is flying.
    let exchange = lesson().student_flying().roll(5).step().waits_for(Waiting::Held(0)).roll(0).pass(ms(500));
    let told: Vec<(Pilot, Pilot)> = exchange.events().iter().map(|event| (event.from, event.to)).collect();
    for pair in told.windows(2) {
        assert_eq!(pair[0].1, pair[1].0, "each word of a change takes up where the last one ended");
    }
    assert_eq!(told.last().map(|&(_, to)| to), Some(exchange.outcome().pilot));
}
