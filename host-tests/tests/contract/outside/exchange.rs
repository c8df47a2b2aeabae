//! The positive three-step exchange of flight controls: FAA-H-8083-3C, Airplane Flying Handbook, chapter 1, and
//! FAA-H-8083-9B, Aviation Instructor's Handbook (edition letters from memory).
//!
//! One offers, the other takes, the first confirms; whoever hands over stays on the controls until that is complete.
//! That an instructor who takes over waits for nothing is common practice, no source.

use handback::{Cause, Deflection, Pilot, Waiting};
use handback_host_tests::{lesson, ms, points};

/// Rules: H1, A1, A2
#[test]
fn given_the_instructor_offers_when_the_student_has_not_got_it_yet_then_the_instructor_stays_on_until_it_is_told() {
    // FAA-H-8083-3C, chapter 1.
    let mut lesson = lesson().pass(ms(2000)).student(0, points(-90)).armed_and_on();
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
    // The change, who has the craft now, and the word of it fall in one and the same step.
    let handed = lesson.student_has_all().because(Cause::HandedBack);
    assert!(
        handed.outcome().output.get(0) == Some(points(1 - moved)),
        "without a jump: from the instructor's last output"
    );
}

/// Rules: T2, A1
#[test]
fn given_the_instructor_takes_over_when_the_stick_or_the_button_says_so_then_there_is_nothing_to_wait_for() {
    // Common practice, no source: taking over never waits for the other's answer.
    let flying = || lesson().student(0, points(-90)).student_flying();
    flying().roll(50).step().because(Cause::Stick(0)).outputs(0, points(50));
    flying().instructor_now(true).step().because(Cause::InstructorNow).outputs(0, Deflection::CENTRE);
    flying().switch_off().step().because(Cause::SwitchOff).outputs(0, Deflection::CENTRE);
}

/// Rules: A1, A2
#[test]
fn given_any_moment_of_an_exchange_when_someone_asks_who_flies_then_there_is_exactly_one_answer_for_each_axis() {
    // FAA-H-8083-3C, chapter 1: there should never be any doubt as to who is flying.
    let exchange = lesson().student_flying().roll(5).step().waits_for(Waiting::Held(0)).roll(0).pass(ms(500));
    let told: Vec<(Pilot, Pilot)> = exchange.events().iter().map(|event| (event.from, event.to)).collect();
    for pair in told.windows(2) {
        assert_eq!(pair[0].1, pair[1].0, "each word of a change takes up where the last one ended");
    }
    assert_eq!(told.last().map(|&(_, to)| to), Some(exchange.outcome().pilot));
}
