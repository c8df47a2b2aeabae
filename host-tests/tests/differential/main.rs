//! The engine against the float reference on random lessons (N3): the same decisions, the same outputs, in every step.
//!
//! A lesson is a random policy and a random trace. Traces aim at the hard cases: sticks at and one unit beside every
//! threshold, steps at and one microsecond beside every duration, gaps, bad frames, a clock that wraps or jumps. A
//! failure shrinks to a short trace that a person can read.
//!
//! The lessons are the same in every run, so that a failure comes from the last change; `HANDBACK_SEED=7` draws
//! others, and `HANDBACK_LESSONS=100` flies a hundred times as many frames.

mod flight;
mod policy;
mod trace;

use std::cell::RefCell;
use std::env;

use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use flight::Seen;

/// Flies `frames` frames or more with `N` axes and returns what happened in them.
fn fly<const N: usize>(frames: u64) -> Seen {
    let number = |name: &str, default: u64| env::var(name).map_or(default, |text| text.parse().expect(name));
    let mut key = [0; 32];
    key[..8].copy_from_slice(&number("HANDBACK_SEED", 1).to_le_bytes());
    key[8] = u8::try_from(N).expect("at most 16");

    let frames = frames * number("HANDBACK_LESSONS", 1);
    let seen = RefCell::new(Seen::default());
    let lesson = (policy::any::<N>(), trace::any());
    while seen.borrow().frames < frames {
        let config = Config { cases: 500, failure_persistence: None, ..Config::default() };
        let mut runner = TestRunner::new_with_rng(config, TestRng::from_seed(RngAlgorithm::ChaCha, &key));
        let result = runner.run(&lesson, |(policy, trace)| flight::agree(&policy, &trace, &mut seen.borrow_mut()));
        if let Err(why) = result {
            panic!("engine and reference differ with {N} axes: {why}");
        }
        for byte in &mut key[9..] {
            *byte = byte.wrapping_add(1);
            if *byte != 0 {
                break;
            }
        }
    }
    seen.into_inner()
}

/// Given 1 axis, when 2 million frames are flown, then engine and reference agree in all of them.
/// Rules: N1, N3
#[test]
fn a_single_axis_agrees() {
    assert!(fly::<1>(2_000_000).frames >= 2_000_000);
}

/// Given 3 axes, when 6 million frames are flown, then engine and reference agree in all of them, and every cause and
/// every state of waiting occurred.
/// Rules: N1, N3
#[test]
fn three_axes_agree_on_everything_that_can_happen() {
    let seen = fly::<3>(6_000_000);
    assert!(seen.frames >= 6_000_000);
    seen.assert_everything_happened();
}

/// Given 4 axes, when 8 million frames are flown, then engine and reference agree in all of them, and every cause and
/// every state of waiting occurred.
/// Rules: N1, N3
#[test]
fn four_axes_agree_on_everything_that_can_happen() {
    let seen = fly::<4>(8_000_000);
    assert!(seen.frames >= 8_000_000);
    seen.assert_everything_happened();
}

/// Given 8 axes, when 2 million frames are flown, then engine and reference agree in all of them.
/// Rules: N1, N3
#[test]
fn eight_axes_agree() {
    assert!(fly::<8>(2_000_000).frames >= 2_000_000);
}

/// Given 16 axes, when 2 million frames are flown, then engine and reference agree in all of them.
/// Rules: N1, N3
#[test]
fn sixteen_axes_agree() {
    assert!(fly::<16>(2_000_000).frames >= 2_000_000);
}
