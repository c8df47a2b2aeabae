//! Sticks: T1, T3, R.

use handback::{AxisSet, Outcome, Policy};
use handback_host_tests::{axes, lesson, lesson_with, ms, points, sprung, unsprung};

use crate::names;

fn frees_all(outcome: &mut Outcome<4>) {
    outcome.held = AxisSet::EMPTY;
}

/// Three sprung axes and a throttle.
fn with_throttle() -> Policy<4> {
    let mut policy = sprung();
    policy.axes[2] = unsprung();
    policy
}

/// Given a stick beyond `engage`, when its axis is said to be free, then T1 is named; so is a held axis whose stick is at
/// rest, one that is held a frame early, one that becomes held without a frame, and one that is not watched.
///
/// Rules: T1
#[test]
fn a_wrong_takeover_is_named() {
    names(&lesson().step().roll(3).broken_by(frees_all), &["T1"]);
    names(&lesson().step().broken_by(|outcome| outcome.held = axes(&[1])), &["T1"]);
    let mut two_frames: Policy<4> = sprung();
    two_frames.axes[0].confirm = 2;
    let moved = lesson_with(two_frames).step().roll(3);
    names(&moved.broken_by(|outcome| outcome.held = axes(&[0])), &["T1"]);
    let silent = lesson().step().instructor_frames(false);
    names(&silent.broken_by(|outcome| outcome.held = axes(&[0])), &["T1"]);
    let unwatched: Policy<4> = Policy { watched: axes(&[0, 1, 2]), ..sprung() };
    names(&lesson_with(unwatched).step().broken_by(|outcome| outcome.held = axes(&[3])), &["T1"]);
}

/// Given a held stick beyond `release`, when its axis is said to be free, then T3 is named; so is one that is held within.
///
/// Rules: T3
#[test]
fn a_wrong_release_is_named() {
    let held = || lesson().step().roll(3).step();
    names(&held().instructor(0, points(2)).broken_by(frees_all), &["T3"]);
    names(&held().roll(0).broken_by(|outcome| outcome.held = axes(&[0])), &["T3"]);
}

/// Given a throttle that has stayed for less than `still`, when its axis is said to be free, then R2 is named; so is one
/// that is held for longer.
///
/// Rules: R2
#[test]
fn a_wrong_stay_is_named() {
    let left = || lesson_with(with_throttle()).step().pass(ms(480));
    names(&left().broken_after(ms(19), frees_all), &["R2"]);
    names(&left().broken_after(ms(20), |outcome| outcome.held = axes(&[2])), &["R2"]);
}

/// Given a held stick, when it becomes free in a step without a good frame, then R3 is named.
///
/// Rules: R3
#[test]
fn a_release_without_a_frame_is_named() {
    names(&lesson().step().roll(3).step().instructor_frames(false).broken_by(frees_all), &["R3"]);
}

/// Given a throttle whose stay is nearly over, when the instructor's signal is lost and back, then its stay begins again:
/// R2 is named where its axis is free too early.
///
/// Rules: R2, R3
#[test]
fn a_stay_that_outlasts_a_loss_is_named() {
    let back = lesson_with(with_throttle()).step().pass(ms(400)).instructor_frames(false).pass(ms(200));
    names(&back.instructor_frames(true).step().broken_by(frees_all), &["R2"]);
}
