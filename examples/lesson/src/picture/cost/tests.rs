//! Tests that the picture explains itself in words, and that no words overlap or cross its edge, for any input.

use super::*;
use crate::cost::delay::Delay;
use crate::picture::tests::{boxes, no_words_cross, words};

fn question() -> Question {
    Question {
        delay: Delay { reaction_s: 0.4, frame_s: 0.02, confirm: 2, link_s: 0.02, output_frame_s: 0.0 },
        reaction: None,
        speeds: vec![10.0, 20.0],
        dives: vec![0.0, 30.0],
        banks: vec![0.0, 60.0, 90.0],
    }
}

/// An ordinary question, the smallest values, the largest values, and a slow human.
fn questions() -> Vec<Question> {
    let least = Question {
        delay: Delay { reaction_s: 0.0, frame_s: 0.0005, confirm: 1, link_s: 0.0, output_frame_s: 0.0 },
        speeds: vec![1.0],
        dives: vec![0.0],
        banks: vec![0.0],
        ..question()
    };
    let most = Question {
        delay: Delay { reaction_s: 4.0, frame_s: 0.2, confirm: 255, link_s: 4.2, output_frame_s: 0.8 },
        speeds: vec![1.0, 2.0, 3.0, 4.0, 299.999, 300.0],
        dives: vec![0.0, 30.0, 89.999, 90.0],
        banks: vec![0.001, 90.0, 90.001, 179.999, 180.0],
        ..question()
    };
    let late = Question { delay: Delay { reaction_s: 2.5, confirm: 9, ..question().delay }, ..question() };
    vec![question(), least, most, late]
}

#[test]
fn it_tells_in_words_what_is_drawn_and_what_it_comes_to() {
    let words = words(&svg(&question()).unwrap());
    for wanted in [
        "What a delay costs until the craft is the instructor's",
        "human 400 ms (as given) + electronics 60 ms at worst, 50 ms on average (frames every 20 ms, confirm 2) = 460 ms at worst",
        "level, bank 90\u{b0}: height lost 1.04 m, 0.25 m of it electronics; one more frame of confirm: 0.092 m",
        "bank 60\u{b0}: 0.52 m, 0.13 by electronics",
        "height, dive 30\u{b0}",
        "distance",
        "1 s: rotorcraft",
        "seconds since the instructor saw it",
        "metres",
        "each frame more to confirm: 20 ms",
        NO_PROMISE,
        crate::caution::CAUTION[0],
    ] {
        assert!(words.lines().any(|line| line == wanted), "no '{wanted}' in\n{words}");
    }
}

#[test]
fn no_words_are_written_over_others_or_off_the_edge() {
    for question in questions() {
        let svg = svg(&question).unwrap();
        no_words_cross(&svg);
        for (left, right, _, words) in boxes(&svg) {
            assert!(left >= 0.0 && right <= WIDTH * 4.0, "{words}: {left} to {right}");
        }
    }
}

#[test]
fn the_same_question_is_the_same_picture() {
    assert_eq!(svg(&question()).unwrap(), svg(&question()).unwrap());
}

/// Given a `confirm` above 4, then it has a bar of its own.
#[test]
fn the_confirm_that_was_given_has_a_bar() {
    for question in questions() {
        let wanted = format!("confirm {}", question.delay.confirm);
        assert_eq!(words(&svg(&question).unwrap()).lines().filter(|line| **line == wanted).count(), 1);
    }
}
