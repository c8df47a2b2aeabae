//! N1 and N3: no input, policy or sequence of instants makes the engine panic, and the float reference agrees in every
//! step.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::iter::repeat_n;

use handback::{CheckedPolicy, Frame, Inputs, Instant, Outcome, Pilot};
use handback_host_tests::Twin;
use handback_monitor::Monitor;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use crate::garbage::{Given, Stick, given, policy};

/// Flies the given steps and passes every outcome to `see`. The twin and [`Always`] check each step.
fn fly<'a, const N: usize>(
    policy: &CheckedPolicy<N>,
    start: u32,
    given: impl Iterator<Item = &'a Given<N>>,
    mut see: impl FnMut(&Outcome<N>),
) {
    let (mut twin, mut monitor) = (Twin::new(policy), Monitor::new(policy));
    let mut now = start;
    for step in given {
        now = now.wrapping_add(step.dt);
        let frame = |sticks: Option<[Stick; N]>| {
            let rules = &policy.policy().axes;
            sticks.map(|sticks| Frame::new(std::array::from_fn(|axis| sticks[axis].of(&rules[axis]))))
        };
        let (instructor, student) = (frame(step.instructor), frame(step.student));
        let inputs = Inputs {
            instructor: instructor.as_ref(),
            student: student.as_ref(),
            lesson_switch: step.switch,
            instructor_now: step.instructor_now,
        };
        let at = Instant::from_ticks(now);
        let outcome = twin.step(at, inputs);
        monitor.step(at, &inputs, &outcome).unwrap_or_else(|broken| panic!("{broken}"));
        see(&outcome);
    }
}

/// Flies random lessons for N axes. Returns the pilots, causes and waits that came up.
fn random_lessons<const N: usize>(cases: u32) -> BTreeSet<String> {
    let seen = RefCell::new(BTreeSet::new());
    let lessons = (policy::<N>(), any::<u32>(), prop::collection::vec((1usize..15, given::<N>()), 1..60));
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    // A fixed seed: the same lessons in every run, so that whether all came up does not depend on chance.
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let result = TestRunner::new_with_rng(config, rng).run(&lessons, |(policy, start, spells)| {
        let given = spells.iter().flat_map(|(steps, given)| repeat_n(given, *steps));
        fly(&policy, start, given, |outcome| {
            let mut seen = seen.borrow_mut();
            seen.insert(match outcome.pilot {
                Pilot::Student(axes) if axes == policy.policy().shared => "Student".to_owned(),
                Pilot::Student(_) => "Student in part".to_owned(),
                whole => format!("{whole:?}"),
            });
            seen.extend(outcome.event.map(|event| word(&format!("{:?}", event.cause))));
            seen.extend(outcome.waiting.map(|waiting| format!("waiting {}", word(&format!("{waiting:?}")))));
            if !outcome.pickup.is_empty() {
                seen.insert("pickup".to_owned());
            }
        });
        Ok(())
    });
    result.unwrap_or_else(|failure| panic!("{failure}"));
    seen.into_inner()
}

/// The name of a variant without its data.
fn word(debug: &str) -> String {
    debug.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default().to_owned()
}

/// Given any inputs, any policy and any instants, when the steps run, then nothing panics and the reference agrees in
/// every step.
/// Rules: N1, N3, T4, T5, H1, H5, A1, A2
#[test]
fn no_input_makes_the_engine_panic_or_leave_the_reference() {
    let cases = if cfg!(debug_assertions) { 800 } else { 3000 };
    let mut seen = random_lessons::<1>(cases);
    seen.extend(random_lessons::<3>(cases));
    seen.extend(random_lessons::<16>(cases / 10));
    // Every cause, every wait and every pilot came up.
    let expected = [
        "Nobody",
        "Instructor",
        "Student",
        "Student in part",
        "pickup",
        "LateStep",
        "InstructorLost",
        "InstructorBack",
        "InstructorNow",
        "BadFrame",
        "SwitchOff",
        "LinkLost",
        "LinkFrozen",
        "Stick",
        "Latch",
        "HandedBack",
        "waiting InstructorSignal",
        "waiting Switch",
        "waiting SwitchOffFirst",
        "waiting Settling",
        "waiting Latch",
        "waiting StudentLink",
        "waiting Held",
        "waiting Dwell",
        "waiting Gate",
    ];
    for what in expected {
        assert!(seen.contains(what), "no random lesson ever came to {what:?}: {seen:?}");
    }
}
