//! The policies of the lessons: the default, four others, and random ones whose durations fit into a lesson.

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};
use seeded::Random;

use crate::AXES;

/// A policy, and whether it is the default one: two in five are, three in ten are random.
pub(crate) fn draw(random: &mut Random) -> (Policy<AXES>, bool) {
    match random.below(10) {
        0..4 => (default(), true),
        4 => (strict(), false),
        5 => (axis_by_axis(), false),
        6 => (if random.chance(0.5) { quick() } else { two_axes() }, false),
        _ => (any(random), false),
    }
}

/// Every default: aileron, elevator, throttle, rudder.
const fn default() -> Policy<AXES> {
    let throttle = AxisRule::unsprung(Deflection::from_points(-100));
    Policy::new([AxisRule::sprung(), AxisRule::sprung(), throttle, AxisRule::sprung()])
}

/// Every safeguard that is off by default.
fn strict() -> Policy<AXES> {
    let mut policy = default();
    for rule in &mut policy.axes {
        (rule.window, rule.confirm) = (Some(Deflection::from_points(20)), 2);
    }
    policy.latches = Latches { lasted: Some(ms(1500)), beyond: Some(Deflection::from_points(50)) };
    policy.frozen_after = Some(ms(600));
    policy
}

/// A held axis takes itself alone, and every output waits to be picked up.
fn axis_by_axis() -> Policy<AXES> {
    let mut policy = default();
    for rule in &mut policy.axes {
        (rule.transfer, rule.keep) = (Transfer::Pickup, false);
    }
    policy.scope = Scope::Axis;
    (policy.fade, policy.pickup_max, policy.off_first_after_loss) = (ms(500), ms(600), false);
    policy
}

/// As few delays as a policy may have.
fn quick() -> Policy<AXES> {
    let mut policy = Policy::new([AxisRule::sprung(); AXES]);
    (policy.settle, policy.dwell, policy.fade, policy.requalify) = (Duration::from_ticks(1), ms(0), ms(0), ms(0));
    (policy.timeout, policy.failsafe_after) = (ms(60), ms(60));
    policy
}

/// The student flies two axes of four.
fn two_axes() -> Policy<AXES> {
    let mut policy = default();
    for rule in &mut policy.axes {
        rule.confirm = 3;
    }
    (policy.shared, policy.scope, policy.frozen_after) = (AxisSet::of(&[0, 1]), Scope::Axis, Some(ms(300)));
    policy
}

/// Any policy that passes its check. Most durations are a number of steps of 10 ms, so that steps end on them.
fn any(random: &mut Random) -> Policy<AXES> {
    let mut policy = Policy::new([(); AXES].map(|()| rule(random)));
    if random.chance(0.5) {
        policy.scope = Scope::Axis;
    }
    policy.watched = set(random) | AxisSet::of(&[random.one_of(&[0, 1, 2, 3])]);
    policy.shared = set(random);
    if policy.scope == Scope::Axis {
        policy.shared = policy.shared & policy.watched;
    }
    policy.plausible = Deflection::from_points(random.one_of(&[150, 150, 100, 125, 199]));
    policy.settle = time(random, 1, 15).max(Duration::from_ticks(1));
    policy.dwell = time(random, 0, 60);
    policy.fade = time(random, 0, 60);
    policy.pickup_max = time(random, 0, 100);
    policy.timeout = time(random, 4, 40);
    policy.requalify = time(random, 0, 100);
    policy.frozen_after = random.chance(0.3).then(|| time(random, 10, 80));
    let longer = time(random, 1, 100);
    policy.failsafe_after = policy.timeout + random.one_of(&[ms(0), ms(100), longer]);
    policy.late_step = time(random, 4, 40);
    policy.off_first_after_loss = random.chance(0.5);
    policy.latches.lasted = random.chance(0.3).then(|| time(random, 0, 100));
    policy.latches.beyond = random.chance(0.3).then(|| units(random, 0, 8_000));
    policy
}

fn rule(random: &mut Random) -> AxisRule {
    let mut rule = if random.chance(0.6) { AxisRule::sprung() } else { AxisRule::unsprung(Deflection::CENTRE) };
    rule.engage = units(random, 1, 1_500);
    rule.release = units(random, 0, i64::from(rule.engage.to_bits()) - 1);
    rule.confirm = random.one_of(&[1, 1, 1, 2, 4]);
    if let Rest::At(rest) = &mut rule.rest {
        let anywhere = units(random, -16_384, 16_384);
        *rest = random.one_of(&[Deflection::CENTRE, Deflection::CENTRE, anywhere]);
    } else {
        rule.rest = Rest::WhereLeft { still: time(random, 0, 60) };
    }
    rule.transfer = random.one_of(&[Transfer::Snap, Transfer::Pickup]);
    rule.keep = random.chance(0.2);
    rule.window = random.chance(0.2).then(|| units(random, 0, 6_000));
    rule.failsafe = units(random, -16_384, 16_384);
    rule
}

/// A set of axes, mostly all of them.
fn set(random: &mut Random) -> AxisSet {
    let any = AxisSet::from_bits(random.one_of(&[1, 2, 3, 5, 7, 8, 11, 14]));
    random.one_of(&[AxisSet::first(AXES), AxisSet::first(AXES), any])
}

/// A time of so many steps of 10 ms, seldom a little more.
fn time(random: &mut Random, low: u64, high: u64) -> Duration {
    let off = if random.chance(0.2) { random.time(1, 9_999) } else { 0 };
    Duration::from_ticks(u32::try_from(random.time(low, high) * 10_000 + off).expect("a short time"))
}

fn units(random: &mut Random, low: i64, high: i64) -> Deflection {
    Deflection::from_bits(i16::try_from(random.within(low, high)).expect("a deflection"))
}

const fn ms(ms: u32) -> Duration {
    Duration::from_millis(ms)
}
