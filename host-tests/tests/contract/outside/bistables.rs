//! Bistables as programmable controllers have them: IEC 61131-3:2013, Table 43.

use handback::{Policy, Waiting};
use handback_host_tests::{Lesson, bare, lesson_with, ms, us};
use proptest::prelude::*;

/// Reset dominant: Q1 = !R1 and (S or Q1).
fn rs(q: bool, set: bool, reset: bool) -> bool {
    !reset && (set || q)
}

/// Set dominant: Q1 = S1 or (!R and Q1).
fn sr(q: bool, set: bool, reset: bool) -> bool {
    set || (!reset && q)
}

/// An seen off first lesson that settles at once, in which 'instructor now' sets the latch and the switch seen off resets it.
fn off_first() -> Lesson<1> {
    lesson_with(Policy { dwell: ms(40), ..bare() }).student_flying()
}

/// Inputs for two steps: a single reading of the switch counts for nothing (S2, S3).
fn play(lesson: Lesson<1>, set: bool, reset: bool) -> Lesson<1> {
    let lesson = if reset { lesson.switch_off() } else { lesson.switch_on() };
    lesson.instructor_now(set).step().step_of(us(1))
}

/// Plays the inputs; in each step in which the switch is on, the outcome shows whether the latch is.
fn compare(inputs: &[(bool, bool)]) {
    let (mut lesson, mut q) = (off_first(), false);
    for &(set, reset) in inputs {
        lesson = play(lesson, set, reset);
        q = rs(q, set, reset);
        let expected = if reset { Some(Waiting::Switch) } else { Some(Waiting::Latch) };
        assert_eq!(lesson.outcome().waiting == expected, reset || q, "{inputs:?}: {:#?}", lesson.outcome());
    }
    // Both inputs 0 hold, and show what the last step left.
    let lesson = play(lesson, false, false);
    assert_eq!(lesson.outcome().waiting == Some(Waiting::Latch), rs(q, false, false), "{inputs:?}");
}

/// Rules: H2, T7, S3
#[test]
fn given_both_inputs_when_they_are_1_at_once_then_the_latch_is_reset_dominant() {
    assert!(!rs(true, true, true) && sr(false, true, true), "this is where the two bistables differ");
    compare(&[(true, true)]);
    compare(&[(true, false), (true, true)]);
    compare(&[(true, true), (true, false)]);
}

/// Rules: H2
#[test]
fn given_both_inputs_0_when_time_goes_by_then_the_latch_holds() {
    compare(&[(false, false); 20]);
    let set = [&[(true, false)][..], &[(false, false); 20]].concat();
    compare(&set);
}

proptest! {
    /// Rules: H2, T7, S3
    #[test]
    fn given_any_sets_and_resets_when_they_follow_each_other_then_the_latch_is_the_rs_bistable(
        inputs in prop::collection::vec((prop::bool::weighted(0.2), prop::bool::weighted(0.3)), 1..100),
    ) {
        compare(&inputs);
    }
}
