//! Random policies that pass their check, with durations of a few frames so that a short trace gets through them.

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};
use handback_host_tests::with;
use proptest::array::uniform;
use proptest::option::weighted;
use proptest::prelude::*;

/// Any policy for `N` axes.
pub(crate) fn any<const N: usize>() -> impl Strategy<Value = Policy<N>> {
    let axes = uniform::<_, N>(rule());
    let sets = (set::<N>(), set::<N>(), prop_oneof![Just(Scope::Craft), Just(Scope::Axis)]);
    let plausible = prop_oneof![4 => Just(24_576i16), 1 => Just(16_384), 1 => Just(i16::MAX), 1 => 16_384i16..];
    let losses = (lasting(), 0u32..100_000, lasting(), weighted(0.3, lasting()), proptest::bool::weighted(0.6));
    let latches = (weighted(0.2, duration()), weighted(0.2, 0i16..8_000));
    let waits = (duration(), duration(), duration(), duration(), duration());
    (axes, sets, plausible, losses, latches, waits).prop_map(|(axes, sets, plausible, losses, latches, waits)| {
        let (mut watched, mut shared, scope) = sets;
        if watched.is_empty() {
            watched = AxisSet::first(1);
        }
        if scope == Scope::Axis {
            shared = shared & watched;
        }
        let (timeout, longer, late_step, frozen_after, off_first_after_loss) = losses;
        let failsafe_after = Duration::from_ticks(timeout.as_ticks().saturating_add(longer).min(1 << 31));
        let (settle, dwell, fade, pickup_max, requalify) = waits;
        let latches = Latches { lasted: latches.0, beyond: latches.1.map(Deflection::from_bits) };
        let plausible = Deflection::from_bits(plausible);
        let settle = settle.max(Duration::from_ticks(1));
        let sets = with!(Policy::new(axes), watched, shared, scope, plausible, latches, off_first_after_loss);
        with!(sets, settle, dwell, fade, pickup_max, timeout, requalify, frozen_after, failsafe_after, late_step)
    })
}

/// A set of the first `N` axes, mostly all of them.
fn set<const N: usize>() -> impl Strategy<Value = AxisSet> {
    prop_oneof![3 => Just(u16::MAX), 2 => any_bits(), 1 => Just(0)]
        .prop_map(|bits| AxisSet::from_bits(bits) & AxisSet::first(N))
}

fn any_bits() -> impl Strategy<Value = u16> {
    proptest::num::u16::ANY
}

/// A duration that something waits for.
fn duration() -> impl Strategy<Value = Duration> {
    prop_oneof![
        2 => Just(0),
        6 => (1u32..8).prop_map(|frames| frames * 10_000),
        2 => 1u32..90_000,
        1 => prop_oneof![Just(1), Just(1 << 31)],
    ]
    .prop_map(Duration::from_ticks)
}

/// A duration after which something is lost, mostly longer than a few frames.
fn lasting() -> impl Strategy<Value = Duration> {
    prop_oneof![
        6 => (4u32..20).prop_map(|frames| frames * 10_000),
        1 => 1u32..100_000,
        1 => prop_oneof![Just(1), Just(1 << 31)],
    ]
    .prop_map(Duration::from_ticks)
}

fn rule() -> impl Strategy<Value = AxisRule> {
    let thresholds = (prop_oneof![6 => 1i16..1_400, 1 => Just(1), 1 => 1i16..16_000], 0i16..16);
    let confirm = prop_oneof![6 => Just(1u8), 2 => 2u8..5, 1 => Just(255)];
    let rest = prop_oneof![
        3 => prop_oneof![Just(0), -2_000i16..2_000, -16_384i16..=16_384].prop_map(|d| Rest::At(Deflection::from_bits(d))),
        1 => duration().prop_map(|still| Rest::WhereLeft { still }),
    ];
    let transfer = prop_oneof![Just(Transfer::Snap), Just(Transfer::Pickup)];
    let keep = proptest::bool::weighted(0.2);
    let window = weighted(0.2, prop_oneof![0i16..4_000, Just(0), Just(i16::MAX)]);
    (thresholds, confirm, rest, transfer, keep, window, -16_384i16..=16_384).prop_map(
        |((engage, sixteenths), confirm, rest, transfer, keep, window, failsafe)| {
            let release = i16::try_from(i32::from(engage) * i32::from(sixteenths) / 16).expect("less");
            let [engage, release, failsafe] = [engage, release, failsafe].map(Deflection::from_bits);
            let window = window.map(Deflection::from_bits);
            with!(AxisRule::sprung(), engage, release, confirm, rest, transfer, keep, window, failsafe)
        },
    )
}
