//! The bistables of programmable controllers: IEC 61131-3:2013, Table 43.

use handback::Waiting;
use handback_host_tests::{Lesson, bare, lesson_with, ms, us, with};
use proptest::prelude::*;

/// Reset dominant: Q1 = !R1 and (S or Q1).
fn rs(q: bool, set: bool, reset: bool) -> bool {
    !reset && (set || q)
}

/// Set dominant: Q1 = S1 or (!R and Q1).
fn sr(q: bool, set: bool, reset: bool) -> bool {
    set || (!reset && q)
}

/// The student flies, and the switch settles at once. Instructor now sets the latch; the switch seen off resets it.
fn off_first() -> Lesson<1> {
    lesson_with(with!(bare(), dwell: ms(40))).student_flying()
}

/// Plays the inputs for two steps, because a single reading of the switch has no effect (S2, S3).
fn play(lesson: Lesson<1>, set: bool, reset: bool) -> Lesson<1> {
    let lesson = if reset { lesson.switch_off() } else { lesson.switch_on() };
    lesson.instructor_now(set).step().step_of(us(1))
}

/// Plays the inputs. While the switch is on, the outcome shows whether the latch is set.
fn compare(inputs: &[(bool, bool)]) {
    let (mut lesson, mut q) = (off_first(), false);
    for &(set, reset) in inputs {
        lesson = play(lesson, set, reset);
        q = rs(q, set, reset);
        let expected = if reset { Some(Waiting::Switch) } else { Some(Waiting::Latch) };
        assert_eq!(lesson.outcome().waiting == expected, reset || q, "{inputs:?}: {:#?}", lesson.outcome());
    }
    // Both inputs 0 hold the latch, and the outcome shows the state after the last inputs.
    let lesson = play(lesson, false, false);
    assert_eq!(lesson.outcome().waiting == Some(Waiting::Latch), rs(q, false, false), "{inputs:?}");
}

/// Given a set and a reset input, when both are 1 at once, then the latch is reset dominant.
/// Rules: H2, T7, S3
#[test]
fn the_latch_is_reset_dominant() {
    assert!(!rs(true, true, true) && sr(false, true, true), "this is where the two bistables differ");
    compare(&[(true, true)]);
    compare(&[(true, false), (true, true)]);
    compare(&[(true, true), (true, false)]);
}

/// Given both inputs 0, when time passes, then the latch holds its state.
/// Rules: H2
#[test]
fn the_latch_holds_while_both_inputs_are_0() {
    compare(&[(false, false); 20]);
    let set = [&[(true, false)][..], &[(false, false); 20]].concat();
    compare(&set);
}

proptest! {
    /// Given any sets and resets, when they follow each other, then the latch is the RS bistable.
    /// Rules: H2, T7, S3
    #[test]
    fn the_latch_is_the_rs_bistable(
        inputs in prop::collection::vec((prop::bool::weighted(0.2), prop::bool::weighted(0.3)), 1..100),
    ) {
        compare(&inputs);
    }
}
