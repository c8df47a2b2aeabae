//! The timers of programmable controllers, on-delay (TON) and off-delay (TOF): IEC 61131-3:2013, 6.6.3.5, Table 46.
//!
//! Timings after the standard's figure, which has no numbers: the milliseconds here, and when Q changes by them, were worked
//! out from what it draws.

use handback::Policy;
use handback_host_tests::{Lesson, bare, lesson_with, ms, points, units, us};
use proptest::prelude::*;

/// The preset time PT, in milliseconds. Calls come every 20 ms.
const PRESET: u32 = 100;

/// A timer that starts at one edge of its input: ET counts from the call that sees the edge.
#[derive(Default)]
struct Timer {
    since: Option<u32>,
}

impl Timer {
    /// Whether the input has been at its level for PT.
    fn over(&mut self, level: bool, now: u32) -> bool {
        self.since = if level { self.since.or(Some(now)) } else { None };
        self.since.is_some_and(|since| now - since >= PRESET)
    }
}

/// On-delay: Q follows IN's rise after PT and its fall at once.
#[derive(Default)]
struct Ton(Timer);

impl Ton {
    fn call(&mut self, input: bool, now: u32) -> bool {
        self.0.over(input, now)
    }
}

/// Off-delay: Q follows IN's rise at once and its fall after PT. Before IN was ever on, Q is off.
#[derive(Default)]
struct Tof(Timer, bool);

impl Tof {
    fn call(&mut self, input: bool, now: u32) -> bool {
        self.1 |= input;
        self.1 && !self.0.over(!input, now)
    }
}

/// The calls at which Q is on, for IN on in these spans of milliseconds (the end of a span is not in it).
fn on_at(mut call: impl FnMut(bool, u32) -> bool, on: &[(u32, u32)]) -> Vec<u32> {
    let input = |now: u32| on.iter().any(|&(from, to)| (from..to).contains(&now));
    (0..400).step_by(20).filter(|&now| call(input(now), now)).collect()
}

/// Calls every 20 ms from the first up to the last but one.
fn calls(span: std::ops::Range<u32>) -> Vec<u32> {
    span.step_by(20).collect()
}

/// Rules: H1
#[test]
fn given_the_timings_that_the_standard_draws_when_the_oracle_is_called_then_it_keeps_them() {
    let mut timer = Ton::default();
    assert_eq!(
        on_at(|i, t| timer.call(i, t), &[(0, 200)]),
        calls(100..200),
        "from 0: Q at 100; falls: Q falls at once"
    );
    let mut timer = Ton::default();
    assert_eq!(on_at(|i, t| timer.call(i, t), &[(0, 80), (120, 200)]), calls(0..0), "80 ms is never enough");
    let mut timer = Tof::default();
    assert_eq!(on_at(|i, t| timer.call(i, t), &[(0, 100)]), calls(0..200), "falls at 100: Q falls at 200");
    let mut timer = Tof::default();
    assert_eq!(on_at(|i, t| timer.call(i, t), &[(0, 100), (160, 200)]), calls(0..300), "back after 60 ms: Q stays");
}

/// The switch is seen off first, and seen off for long enough that every timer begins at its input's first rise.
fn off_first(policy: Policy<1>) -> Lesson<1> {
    lesson_with(policy).pass(ms(200))
}

/// Plays one input after another, every 20 ms, and compares an output of the lesson with an oracle's.
fn compare(
    mut lesson: Lesson<1>,
    inputs: &[bool],
    play: impl Fn(Lesson<1>, bool) -> Lesson<1>,
    mut oracle: impl FnMut(&Lesson<1>, bool, u32) -> bool,
) -> Vec<bool> {
    let mut student_flew = Vec::new();
    for (now, &input) in (0u32..).step_by(20).zip(inputs) {
        lesson = play(lesson, input);
        let student = !lesson.outcome().pilot.student().is_empty();
        assert_eq!(student, oracle(&lesson, input, now), "at {now} ms of {inputs:?}: {:#?}", lesson.outcome());
        student_flew.push(student);
    }
    student_flew
}

/// The switch, read twice in a row: a single reading of it counts for nothing (S2, S3).
fn switch(lesson: Lesson<1>, on: bool) -> Lesson<1> {
    let lesson = if on { lesson.switch_on() } else { lesson.switch_off() };
    lesson.step().step_of(us(1))
}

/// The dwell alone, and the settling alone.
fn dwell() -> Policy<1> {
    Policy { dwell: ms(PRESET), ..bare() }
}

fn settle() -> Policy<1> {
    Policy { settle: ms(PRESET), ..bare() }
}

/// So many inputs of each level in turn, the first of them on.
fn spans(spans: &[usize]) -> Vec<bool> {
    let level = |(place, &count): (usize, &usize)| vec![place % 2 == 0; count];
    spans.iter().enumerate().flat_map(level).collect()
}

/// Rules: H1, S3
#[test]
fn given_the_listed_timings_when_the_switch_is_the_input_then_dwell_and_settling_are_on_delays() {
    for policy in [dwell(), settle()] {
        let flew = |inputs: &[usize]| compare(off_first(policy), &spans(inputs), switch, ton());
        assert_eq!(flew(&[10, 1]).iter().position(|&flies| flies), Some(5), "true from 0: Q at 100 ms");
        assert!(flew(&[4, 5]).iter().all(|&flies| !flies), "80 ms: never");
        assert_eq!(flew(&[8, 2])[7..], [true, false, false], "falls: Q falls at once");
    }
}

fn ton() -> impl FnMut(&Lesson<1>, bool, u32) -> bool {
    let mut ton = Ton::default();
    move |_: &Lesson<1>, input, now| ton.call(input, now)
}

/// The student flies; the input is the instructor's hand on the stick.
fn hand(lesson: Lesson<1>, on_the_stick: bool) -> Lesson<1> {
    lesson.instructor(0, if on_the_stick { points(3) } else { units(0) }).step()
}

/// 'The instructor has control' is the off-delay of 'an axis is held, or the set of held axes changed': H1 begins the
/// dwell in the first step in which it did not.
fn tof() -> impl FnMut(&Lesson<1>, bool, u32) -> bool {
    let (mut tof, mut held_before) = (Tof::default(), false);
    move |lesson: &Lesson<1>, _: bool, now| {
        let held = !lesson.outcome().held.is_empty();
        let changed = std::mem::replace(&mut held_before, held) != held;
        !tof.call(held || changed, now)
    }
}

/// Rules: H1, T2, T3
#[test]
fn given_the_listed_timings_when_the_stick_is_the_input_then_the_instructors_control_is_its_off_delay() {
    let flying = off_first(dwell()).student_flying();
    let flew = |inputs: &[usize]| compare(flying.clone(), &spans(inputs), hand, tof());
    // Held for 5 steps, let go in step 5; the input of the delay falls in step 6, and 100 ms later its output.
    assert_eq!(flew(&[5, 20]).iter().position(|&flies| flies), Some(6 + 5), "falls at 0: Q falls at 100 ms");
    // Let go, and back 60 ms after the input fell.
    assert!(flew(&[5, 4, 5]).iter().all(|&flies| !flies), "back at 60 ms: Q stays");
}

proptest! {
    /// Rules: H1
    #[test]
    fn given_any_turns_of_the_switch_when_only_the_dwell_takes_time_then_it_is_an_on_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.85), 1..200),
    ) {
        compare(off_first(dwell()), &inputs, switch, ton());
    }

    /// Rules: S3
    #[test]
    fn given_any_turns_of_the_switch_when_only_settling_takes_time_then_it_is_an_on_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.85), 1..200),
    ) {
        compare(off_first(settle()), &inputs, switch, ton());
    }

    /// Rules: H1, S3
    #[test]
    fn given_any_turns_of_the_switch_when_both_take_time_then_they_are_two_on_delays_in_a_row(
        inputs in prop::collection::vec(prop::bool::weighted(0.92), 1..200),
    ) {
        let (mut settled, mut dwelt) = (Ton::default(), Ton::default());
        let policy = Policy { dwell: ms(PRESET), ..settle() };
        compare(off_first(policy), &inputs, switch, |_, input, now| {
            let settled = settled.call(input, now);
            dwelt.call(settled, now)
        });
    }

    /// Rules: H1, T2, T3
    #[test]
    fn given_any_moves_of_the_stick_when_the_student_flies_then_the_instructors_control_is_their_off_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.15), 1..200),
    ) {
        compare(off_first(dwell()).student_flying(), &inputs, hand, tof());
    }
}
