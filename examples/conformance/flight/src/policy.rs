//! Random policies that pass their check, with durations of a few frames, so that a short flight can get past them.

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};

use crate::random::Random;

/// Any policy for `N` axes.
pub(crate) fn any<const N: usize>(random: &mut Random) -> Policy<N> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    let axes = random.one_of([N, N, 1, 2]).min(N);
    for rule in &mut policy.axes {
        *rule = any_rule(random, u32::try_from(axes).unwrap_or(1));
    }
    policy.scope = random.one_of([Scope::Craft, Scope::Axis]);
    policy.watched = match any_set::<N>(random) {
        AxisSet::EMPTY => AxisSet::first(1),
        set => set,
    };
    policy.shared = any_set::<N>(random);
    if policy.scope == Scope::Axis {
        policy.shared = policy.shared & policy.watched;
    }
    policy.plausible = match random.weighted([4, 1, 1, 1]) {
        0 => policy.plausible,
        1 => Deflection::FULL,
        2 => Deflection::MAX,
        _ => Deflection::from_bits(random.within(16_384, i16::MAX)),
    };
    policy.settle = wait(random).max(Duration::from_ticks(1));
    policy.dwell = wait(random);
    policy.fade = wait(random);
    policy.pickup_max = wait(random);
    policy.requalify = wait(random);
    policy.timeout = loss(random);
    policy.frozen_after = random.one_in(4).then(|| frozen(random));
    policy.late_step = loss(random);
    let longer = random.below(100_000);
    policy.failsafe_after = Duration::from_ticks((policy.timeout.as_ticks() + longer).min(1 << 31));
    policy.off_first_after_loss = random.below(5) < 3;
    policy.latches = Latches {
        lasted: random.one_in(5).then(|| wait(random)),
        beyond: random.one_in(5).then(|| Deflection::from_bits(random.within(0, 8_000))),
    };
    policy
}

/// A policy under which every rule has work on every axis: all axes are watched, shared, confirmed, gated and picked
/// up, one in four rests where left, and every latch is on.
pub(crate) fn everything_on<const N: usize>(random: &mut Random) -> Policy<N> {
    let mut policy = any::<N>(random);
    for (axis, rule) in policy.axes.iter_mut().enumerate() {
        rule.rest = match rule.rest {
            _ if axis % 4 == 2 => Rest::WhereLeft { still: wait(random) },
            Rest::WhereLeft { .. } => Rest::At(Deflection::CENTRE),
            Rest::At(rest) => Rest::At(rest),
        };
        rule.confirm = random.one_of([2, 2, 3]);
        rule.transfer = Transfer::Pickup;
        rule.window = rule.window.or(Some(Deflection::from_bits(random.within(0, 4_000))));
    }
    policy.watched = AxisSet::first(N);
    policy.shared = AxisSet::first(N);
    policy.frozen_after = policy.frozen_after.or(Some(Duration::from_ticks(1 << 31)));
    policy.fade = Duration::from_ticks(10_000 * (1 + random.below(20)));
    policy.pickup_max = Duration::from_ticks(10_000 * (1 + random.below(20)));
    policy.latches = Latches {
        lasted: Some(Duration::from_ticks(10_000 * random.below(40))),
        beyond: Some(Deflection::from_bits(random.within(0, 16_000))),
    };
    policy
}

/// A set of the first `N` axes, mostly all of them.
fn any_set<const N: usize>(random: &mut Random) -> AxisSet {
    let [low, high, ..] = random.next().to_le_bytes();
    let bits = match random.weighted([6, 5, 1]) {
        0 => u16::MAX,
        1 => u16::from_le_bytes([low, high]),
        _ => 0,
    };
    AxisSet::from_bits(bits) & AxisSet::first(N)
}

/// A duration that something waits for.
fn wait(random: &mut Random) -> Duration {
    Duration::from_ticks(match random.weighted([8, 24, 8, 2, 1]) {
        0 => 0,
        1 => 10_000 * (1 + random.below(7)),
        2 => 1 + random.below(90_000),
        3 => 1,
        _ => 1 << 31,
    })
}

/// A duration after which something is lost, mostly longer than a few frames.
fn loss(random: &mut Random) -> Duration {
    Duration::from_ticks(match random.weighted([24, 4, 1, 3]) {
        0 => 10_000 * (4 + random.below(16)),
        1 => 1 + random.below(100_000),
        2 => 1,
        _ => 1 << 31,
    })
}

/// A duration after which a student who rests loses the link, mostly longer than a student needs to get the craft.
fn frozen(random: &mut Random) -> Duration {
    Duration::from_ticks(match random.weighted([24, 1, 3]) {
        0 => 10_000 * (10 + random.below(50)),
        1 => 1,
        _ => 1 << 31,
    })
}

/// A random rule of one axis. The more axes have rules that hold the student back, the rarer each rule must be: of
/// `axes`, about one has it.
fn any_rule(random: &mut Random, axes: u32) -> AxisRule {
    let engage = match random.weighted([6, 1, 1]) {
        0 => random.within(1, 1_400),
        1 => 1,
        _ => random.within(1, 16_000),
    };
    let less = random.within(0, engage - 1);
    let rest = match random.weighted([2, 2, 2, 1]) {
        0 => Rest::At(Deflection::CENTRE),
        1 => Rest::At(Deflection::from_bits(random.within(-2_000, 2_000))),
        2 => Rest::At(Deflection::from_bits(random.within(-16_384, 16_384))),
        _ => Rest::WhereLeft { still: wait(random) },
    };
    let window = match random.weighted([2, 1, 1]) {
        0 => Deflection::from_bits(random.within(0, 4_000)),
        1 => Deflection::CENTRE,
        _ => Deflection::MAX,
    };
    let mut rule = AxisRule::sprung();
    rule.engage = Deflection::from_bits(engage);
    rule.release = Deflection::from_bits(random.one_of([0, engage / 2, engage - 1, less]));
    rule.confirm = match random.weighted([8, 2, 1]) {
        0 => 1,
        1 => random.one_of([2, 3, 4]),
        _ => u8::MAX,
    };
    rule.rest = rest;
    rule.transfer = random.one_of([Transfer::Snap, Transfer::Pickup]);
    rule.keep = random.one_in(4 * axes);
    rule.window = random.one_in(4 * axes).then_some(window);
    rule.failsafe = Deflection::from_bits(random.within(-16_384, 16_384));
    rule
}
