//! A linear crossfade in 25 steps: 1/25 of the way in each. Arithmetic, no other source.

use handback::Policy;
use handback_host_tests::{bare, lesson_with, ms, units};
use proptest::prelude::*;

/// 25 steps of 20 ms.
fn policy() -> Policy<1> {
    Policy { fade: ms(500), ..bare() }
}

/// Rules: H4
#[test]
fn given_a_fade_of_25_steps_when_it_runs_from_a_to_b_then_the_largest_step_is_a_25th_of_the_way_and_the_end_is_exact() {
    for (a, b) in [(0, 16384), (0, -16384), (300, 12345), (-300, 20000)] {
        let mut lesson = lesson_with(policy()).instructor(0, units(a)).student(0, units(b)).student_just_got_it();
        let mut last = lesson.output(0).to_bits();
        assert_eq!(last, a);
        let mut largest = 0;
        for _ in 0..25 {
            lesson = lesson.step();
            largest = largest.max((lesson.output(0).to_bits() - last).abs());
            last = lesson.output(0).to_bits();
        }
        assert_eq!(last, b, "exact at the end");
        let share = f64::from(largest) / f64::from(b - a).abs();
        // .0400 of the way, to a unit of rounding and one of the weight, which is rounded down.
        assert!((share - 0.04).abs() < 2.5 / f64::from(b - a).abs(), "{a} to {b}: {share}");
    }
}

proptest! {
    /// Rules: H4
    #[test]
    fn given_a_student_who_moves_in_a_fade_when_a_frame_comes_then_the_output_moves_by_no_more_than_fade_step_and_input(
        moves in prop::collection::vec(-2000i16..=2000, 25),
    ) {
        let mut lesson = lesson_with(policy()).student_just_got_it();
        let (mut input, mut output) = (0i16, lesson.output(0).to_bits());
        for by in moves {
            let before = input;
            input = (input + by).clamp(-16384, 16384);
            lesson = lesson.student(0, units(input)).step();
            let change = f64::from((lesson.output(0).to_bits() - output).abs());
            output = lesson.output(0).to_bits();
            // From 0, so the way of the fade is the input itself; two units of rounding.
            let fade_step = f64::from(before.abs().max(input.abs())) / 25.0;
            prop_assert!(change <= fade_step + f64::from((input - before).abs()) + 2.0, "{change}");
        }
        prop_assert_eq!(output, input);
    }
}
