//! The timers of programmable controllers, on-delay (TON) and off-delay (TOF): IEC 61131-3:2013, 6.6.3.5, Table 46.
//!
//! The timings follow the standard's figure, which has no numbers. The milliseconds here, and the times at which Q
//! changes, were derived from it.

use handback::Policy;
use handback_host_tests::{Lesson, bare, lesson_with, ms, points, units, us, with};
use proptest::prelude::*;

/// The preset time PT, in milliseconds. Calls come every 20 ms.
const PRESET: u32 = 100;

/// A timer that starts at one edge of its input. ET counts from the call that sees the edge.
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

/// The times of the calls at which Q is on, for IN on in these spans of milliseconds (the end of a span excluded).
fn on_at(mut call: impl FnMut(bool, u32) -> bool, on: &[(u32, u32)]) -> Vec<u32> {
    let input = |now: u32| on.iter().any(|&(from, to)| (from..to).contains(&now));
    (0..400).step_by(20).filter(|&now| call(input(now), now)).collect()
}

/// The times of calls every 20 ms in this span, its end excluded.
fn calls(span: std::ops::Range<u32>) -> Vec<u32> {
    span.step_by(20).collect()
}

/// Given the timings that the standard draws, when the oracle is called, then it keeps them.
/// Rules: H1
#[test]
fn the_oracle_keeps_the_timings_that_the_standard_draws() {
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

/// The switch is seen off first, and stays off so long that every timer begins at its input's first rise.
fn off_first(policy: Policy<1>) -> Lesson<1> {
    lesson_with(policy).pass(ms(200))
}

/// Plays one input after another, every 20 ms, and compares whether the student flies with the oracle. Returns it.
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

/// Turns the switch and reads it twice, because a single reading has no effect (S2, S3).
fn switch(lesson: Lesson<1>, on: bool) -> Lesson<1> {
    let lesson = if on { lesson.switch_on() } else { lesson.switch_off() };
    lesson.step().step_of(us(1))
}

/// Only the dwell takes time.
fn dwell() -> Policy<1> {
    with!(bare(), dwell: ms(PRESET))
}

fn settle() -> Policy<1> {
    with!(bare(), settle: ms(PRESET))
}

/// Inputs of each level in turn, the first level on. Each count is the number of inputs of one level.
fn spans(spans: &[usize]) -> Vec<bool> {
    let level = |(place, &count): (usize, &usize)| vec![place % 2 == 0; count];
    spans.iter().enumerate().flat_map(level).collect()
}

/// Given the listed timings, when the switch is the input, then dwell and settling are on-delays.
/// Rules: H1, S3
#[test]
fn dwell_and_settling_are_on_delays() {
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
/// dwell in the first step in which none is held and the set did not change.
fn tof() -> impl FnMut(&Lesson<1>, bool, u32) -> bool {
    let (mut tof, mut held_before) = (Tof::default(), false);
    move |lesson: &Lesson<1>, _: bool, now| {
        let held = !lesson.outcome().held.is_empty();
        let changed = std::mem::replace(&mut held_before, held) != held;
        !tof.call(held || changed, now)
    }
}

/// Given the listed timings, when the stick is the input, then the instructor's control is its off-delay.
/// Rules: H1, T2, T3
#[test]
fn the_instructors_control_is_the_off_delay_of_the_stick() {
    let flying = off_first(dwell()).student_flying();
    let flew = |inputs: &[usize]| compare(flying.clone(), &spans(inputs), hand, tof());
    // Held for 5 steps, let go in step 5. The input of the delay falls in step 6, its output 100 ms later.
    assert_eq!(flew(&[5, 20]).iter().position(|&flies| flies), Some(6 + 5), "falls at 0: Q falls at 100 ms");
    // Let go, and back 60 ms after the input fell.
    assert!(flew(&[5, 4, 5]).iter().all(|&flies| !flies), "back at 60 ms: Q stays");
}

proptest! {
    /// Given any turns of the switch, when only the dwell takes time, then it is an on-delay.
    /// Rules: H1
    #[test]
    fn any_turns_of_the_switch_show_dwell_as_an_on_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.85), 1..200),
    ) {
        compare(off_first(dwell()), &inputs, switch, ton());
    }

    /// Given any turns of the switch, when only settling takes time, then it is an on-delay.
    /// Rules: S3
    #[test]
    fn any_turns_of_the_switch_show_settling_as_an_on_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.85), 1..200),
    ) {
        compare(off_first(settle()), &inputs, switch, ton());
    }

    /// Given any turns of the switch, when both dwell and settling take time, then they are two on-delays in a row.
    /// Rules: H1, S3
    #[test]
    fn any_turns_of_the_switch_show_two_on_delays_in_a_row(
        inputs in prop::collection::vec(prop::bool::weighted(0.92), 1..200),
    ) {
        let (mut settled, mut dwelt) = (Ton::default(), Ton::default());
        let policy = with!(settle(), dwell: ms(PRESET));
        compare(off_first(policy), &inputs, switch, |_, input, now| {
            let settled = settled.call(input, now);
            dwelt.call(settled, now)
        });
    }

    /// Given any moves of the stick, when the student flies, then the instructor's control is their off-delay.
    /// Rules: H1, T2, T3
    #[test]
    fn any_moves_of_the_stick_show_control_as_an_off_delay(
        inputs in prop::collection::vec(prop::bool::weighted(0.15), 1..200),
    ) {
        compare(off_first(dwell()).student_flying(), &inputs, hand, tof());
    }
}
