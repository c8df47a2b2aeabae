//! What is told: A1, A2, and how a breach reads.

use handback::{Cause, Event, Outcome, Waiting};
use handback_host_tests::{lesson, ms};

use crate::{names, student_has_all};

/// Given a change of who flies, when it has no event, another cause or another pilot, then A1 is named; so is an event
/// without a change.
/// Rules: A1
#[test]
fn a_wrong_event_is_named() {
    let taken = || lesson().student_flying().roll(3);
    names(&taken().broken_by(|outcome| outcome.event = None), &["A1"]);
    let another = |outcome: Option<Event>| outcome.map(|event| Event { cause: Cause::SwitchOff, ..event });
    names(&taken().broken_by(|outcome| outcome.event = another(outcome.event)), &["A1"]);
    let back = |outcome: Option<Event>| outcome.map(|event| Event { to: event.from, ..event });
    names(&taken().broken_by(|outcome| outcome.event = back(outcome.event)), &["A1"]);
    let told = taken().step();
    let event = told.events().last().copied();
    names(&told.broken_by(|outcome| outcome.event = event), &["A1"]);
}

/// Given a student who misses axes, when nothing is waited for, another thing, or the right thing for another time, then
/// A2 is named; so is a wait where nothing is missing.
/// Rules: A2
#[test]
fn a_wrong_wait_is_named() {
    names(&lesson().step().broken_by(|outcome| outcome.waiting = None), &["A2"]);
    let waits = |waiting| move |outcome: &mut Outcome<4>| outcome.waiting = Some(waiting);
    names(&lesson().step().broken_by(waits(Waiting::SwitchOffFirst)), &["A2"]);
    let dwells = || lesson().student_flying().roll(3).step().roll(0).step();
    assert_eq!(dwells().step().outcome().waiting, Some(Waiting::Dwell { left: ms(300) }));
    names(&dwells().broken_by(waits(Waiting::Dwell { left: ms(299) })), &["A2"]);
    names(&lesson().student_flying().broken_by(|outcome| outcome.waiting = Some(Waiting::Latch)), &["A2"]);
}

/// Given a breach, when it is read, then it begins with its rules and says what was expected.
/// Rules: T4, S3
#[test]
fn a_breach_says_what_was_expected() {
    let broken = lesson().student_flying().switch_off().broken_by(student_has_all);
    let first = broken.breaches()[0].to_string();
    assert_eq!(first, "(T4, S3) expected the student to have nothing, not {0, 1, 2, 3}: the lesson switch is off");
    assert!(broken.to_string().starts_with(&first), "{broken}");
}
