//! The policies of the lessons: the default, four others, and the random ones of the differential tests.

use handback::{AxisRule, AxisSet, Latches, Policy, Scope, Transfer};
use handback_host_tests::{ms, points, sprung, unsprung, us, with};
use proptest::strategy::{BoxedStrategy, Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use seeded::Random;

use crate::AXES;

#[allow(dead_code)] // it serves tests of other sizes too
#[path = "../../tests/differential/policy.rs"]
mod random;

/// Gives each lesson its policy.
pub(crate) struct Policies {
    fixed: [Policy<AXES>; 5],
    random: BoxedStrategy<Policy<AXES>>,
}

impl Policies {
    pub(crate) fn new() -> Self {
        Self { fixed: [default(), strict(), axis_by_axis(), quick(), two_axes()], random: random::any().boxed() }
    }

    /// A policy, and whether it is the default one: two in five are, two in five are random.
    pub(crate) fn draw(&self, random: &mut Random) -> (Policy<AXES>, bool) {
        match random.below(10) {
            0..4 => (self.fixed[0], true),
            n @ 4..6 => (self.fixed[n - 3], false),
            6 => (self.fixed[3 + random.below(2)], false),
            _ => (self.any(random), false),
        }
    }

    fn any(&self, random: &mut Random) -> Policy<AXES> {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&random.next().to_le_bytes());
        let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &key);
        let mut runner = TestRunner::new_with_rng(Config::default(), rng);
        self.random.new_tree(&mut runner).expect("no policy is refused").current()
    }
}

/// Every default: aileron, elevator, throttle, rudder.
const fn default() -> Policy<AXES> {
    Policy::new([AxisRule::sprung(), AxisRule::sprung(), unsprung(), AxisRule::sprung()])
}

/// Every safeguard that is off by default.
fn strict() -> Policy<AXES> {
    let latches = Latches { lasted: Some(ms(1500)), beyond: Some(points(50)) };
    let axes = default().axes.map(|rule| with!(rule, window: Some(points(20)), confirm: 2));
    with!(default(), axes, latches, frozen_after: Some(ms(600)))
}

/// A held axis takes itself alone, and every output waits to be picked up.
fn axis_by_axis() -> Policy<AXES> {
    let axes = default().axes.map(|rule| with!(rule, transfer: Transfer::Pickup, keep: false));
    with!(default(), axes, scope: Scope::Axis, fade: ms(500), pickup_max: ms(600), off_first_after_loss: false)
}

/// As few delays as a policy may have.
fn quick() -> Policy<AXES> {
    with!(sprung(), settle: us(1), dwell: ms(0), fade: ms(0), requalify: ms(0), timeout: ms(60), failsafe_after: ms(60))
}

/// The student flies two axes of four.
fn two_axes() -> Policy<AXES> {
    let axes = default().axes.map(|rule| with!(rule, confirm: 3));
    with!(default(), axes, shared: AxisSet::of(&[0, 1]), scope: Scope::Axis, frozen_after: Some(ms(300)))
}
