//! Garbage: random legal policies, also at their extremes, and random inputs of a step.

use handback::{AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};
use handback_host_tests::{units, us, with};
use proptest::prelude::*;

/// A duration: `least`, a few microseconds, or the longest that a policy may hold. Most are a few steps long, so that
/// the lesson goes on.
fn duration(least: u32) -> impl Strategy<Value = Duration> {
    let extremes = prop_oneof![1u32..100, Just((1 << 31) - 1), Just(1 << 31)];
    prop_oneof![3 => Just(least), 1 => extremes, 6 => 10_000u32..300_000].prop_map(us)
}

/// A duration for `timeout` and `late_step`: it must not be 0, and a short one ends the lesson.
fn patience() -> impl Strategy<Value = Duration> {
    prop_oneof![1 => Just(1), 1 => 1u32..40_000, 6 => 40_000u32..400_000, 1 => Just(1 << 31)].prop_map(us)
}

fn scope() -> impl Strategy<Value = Scope> {
    prop_oneof![1 => Just(Scope::Craft), 2 => Just(Scope::Axis)]
}

/// From 1 unit to `most`, both included.
fn positive(most: i16) -> impl Strategy<Value = i16> {
    prop_oneof![Just(1), 1i16..400.min(most), 1..=most, Just(most)]
}

/// A legal rule of one axis, with every deflection within ±`plausible`.
fn rule(plausible: i16) -> impl Strategy<Value = AxisRule> {
    let place = || {
        prop_oneof![4 => Just(0), 1 => Just(plausible), 1 => Just(-plausible), 4 => -plausible..=plausible]
            .prop_map(units)
    };
    let rest = prop_oneof![place().prop_map(Rest::At), duration(0).prop_map(|still| Rest::WhereLeft { still })];
    let window = prop::option::weighted(0.2, prop_oneof![Just(0), 0i16..4000, Just(i16::MAX)].prop_map(units));
    let confirm = prop_oneof![4 => Just(1u8), 4 => 1u8..4, 1 => Just(255)];
    let transfer = prop_oneof![Just(Transfer::Snap), Just(Transfer::Pickup)];
    let most = plausible - 1;
    let thresholds =
        positive(most).prop_flat_map(|engage| (Just(engage), prop_oneof![Just(0), 0..engage, Just(engage - 1)]));
    (thresholds, confirm, rest, transfer, prop::bool::weighted(0.2), window, place()).prop_map(
        |((engage, release), confirm, rest, transfer, keep, window, failsafe)| {
            let [engage, release] = [engage, release].map(units);
            with!(AxisRule::sprung(), engage, release, confirm, rest, transfer, keep, window, failsafe)
        },
    )
}

/// A legal policy, often at its extremes.
pub(crate) fn policy<const N: usize>() -> impl Strategy<Value = CheckedPolicy<N>> {
    let plausible = prop_oneof![Just(Deflection::FULL.to_bits()), Just(i16::MAX), Deflection::FULL.to_bits()..];
    let set = || any::<u16>().prop_map(|bits| AxisSet::from_bits(bits) & AxisSet::first(N));
    let durations = prop::collection::vec(duration(0), 6);
    let losses = (patience(), patience(), prop::option::weighted(0.3, patience()));
    let beyond = prop_oneof![0i16..400, 0..Deflection::FULL.to_bits()];
    let lasted = prop_oneof![duration(0), (20_000u32..200_000).prop_map(us)];
    let latches = (prop::option::of(lasted), prop::option::weighted(0.2, beyond));
    (plausible, set(), set(), scope(), durations, losses, any::<bool>(), latches).prop_flat_map(
        |(plausible, watched, shared, scope, times, (timeout, late_step, frozen_after), off_first_after_loss, (lasted, beyond))| {
            prop::collection::vec(rule(plausible), N).prop_map(move |rules| {
                let watched = if watched.is_empty() { AxisSet::first(1) } else { watched };
                let policy = with!(Policy::new(rules.try_into().expect("N rules")), watched: watched, shared: if scope == Scope::Axis { shared & watched } else { shared }, scope: scope, plausible: units(plausible), settle: times[0].max(us(1)), dwell: times[1], fade: times[2], pickup_max: times[3], requalify: times[4], timeout: timeout, frozen_after: frozen_after, failsafe_after: timeout.max(times[5]), late_step: late_step, off_first_after_loss: off_first_after_loss, latches: Latches { lasted, beyond: beyond.map(units) });
                policy.check().unwrap_or_else(|why| panic!("{why}: {policy:?}"))
            })
        },
    )
}

/// The inputs of one step. Most deflections lie near the thresholds of the policy.
#[derive(Clone, Debug)]
pub(crate) struct Given<const N: usize> {
    pub(crate) dt: u32,
    pub(crate) instructor: Option<[Stick; N]>,
    pub(crate) student: Option<[Stick; N]>,
    pub(crate) switch: bool,
    pub(crate) instructor_now: bool,
}

/// Where a stick is, relative to the policy.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Stick {
    /// This many units from the fixed rest, or from the centre where the rest is not fixed.
    Rest(i16),
    /// This many units beyond `engage` from there.
    Engage(i16),
    /// Any deflection that can be written, good or bad, in units.
    Bits(i16),
}

impl Stick {
    pub(crate) fn of(self, rule: &AxisRule) -> Deflection {
        let rest = if let Rest::At(rest) = rule.rest { rest.to_bits() } else { 0 };
        units(match self {
            Self::Rest(off) => rest.saturating_add(off),
            Self::Engage(more) => rest.saturating_add(rule.engage.to_bits()).saturating_add(more),
            Self::Bits(bits) => bits,
        })
    }
}

fn stick() -> impl Strategy<Value = Stick> {
    prop_oneof![
        6 => (-2i16..=2).prop_map(Stick::Rest),
        4 => (-1i16..=1).prop_map(Stick::Engage),
        1 => prop_oneof![Just(i16::MIN), Just(i16::MAX), Just(-16384), Just(16384), any::<i16>()].prop_map(Stick::Bits),
    ]
}

pub(crate) fn given<const N: usize>() -> impl Strategy<Value = Given<N>> {
    let dt = prop_oneof![
        40 => Just(20_000u32),
        10 => 0u32..30_000,
        1 => prop_oneof![Just(0), Just(1), Just(1 << 31), Just((1 << 31) + 1), Just(u32::MAX), any::<u32>()],
    ];
    // Most frames are quiet: otherwise the student would hardly ever get the craft.
    let quiet = prop::array::uniform::<_, N>((-1i16..=1).prop_map(Stick::Rest));
    let frame = prop_oneof![2 => quiet, 1 => prop::array::uniform::<_, N>(stick())];
    let another = prop::array::uniform::<_, N>(stick());
    let arrives = |frame| prop::option::weighted(0.95, frame);
    let flags = (prop::bool::weighted(0.9), prop::bool::weighted(0.02));
    (dt, arrives(frame.boxed()), arrives(another.boxed()), flags).prop_map(
        |(dt, instructor, student, (switch, instructor_now))| Given { dt, instructor, student, switch, instructor_now },
    )
}
