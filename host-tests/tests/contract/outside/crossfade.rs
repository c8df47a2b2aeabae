//! A linear crossfade in 25 steps, each 1/25 of the way. Arithmetic, no other source.

use handback::Policy;
use handback_host_tests::{bare, lesson_with, ms, units, with};
use proptest::prelude::*;

/// 25 steps of 20 ms.
fn policy() -> Policy<1> {
    with!(bare(), fade: ms(500))
}

/// Given a fade of 25 steps, when it runs from a to b, then the largest step is a 25th of the way and the end is exact.
/// Rules: H4
#[test]
fn a_fade_of_25_steps_moves_a_25th_in_each_and_ends_exactly() {
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
        // 0.04 of the way, up to one unit of rounding and one of the weight, which is rounded down.
        assert!((share - 0.04).abs() < 2.5 / f64::from(b - a).abs(), "{a} to {b}: {share}");
    }
}

proptest! {
    /// Given a student who moves in a fade, when a frame comes, then the output moves by no more than the fade's step
    /// and the input's move.
    /// Rules: H4
    #[test]
    fn a_fade_moves_by_at_most_its_own_step_and_the_input(
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
            // The fade starts from 0, so its way is the input itself. Two units of rounding.
            let fade_step = f64::from(before.abs().max(input.abs())) / 25.0;
            prop_assert!(change <= fade_step + f64::from((input - before).abs()) + 2.0, "{change}");
        }
        prop_assert_eq!(output, input);
    }
}
