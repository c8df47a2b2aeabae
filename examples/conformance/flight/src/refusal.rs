//! Policies on every limit of their check and just beyond it (P1): the last one that passes and the first one that is
//! refused.

use handback::{AxisSet, Deflection, Duration, Policy, PolicyError, Rest, Scope};

use crate::coverage::refusal_kind;
use crate::log::Log;

/// Sets one field of the default policy.
type Set<const N: usize> = fn(&mut Policy<N>, usize, bool);

/// Checks every limit, for every axis, of 1, 4, 8 and 16 axes.
pub(crate) fn check_all(log: &mut Log<'_>) {
    check::<1>(log);
    check::<4>(log);
    check::<8>(log);
    check::<16>(log);
}

fn check<const N: usize>(log: &mut Log<'_>) {
    for axis in 0..N {
        for set in axis_limits::<N>() {
            both(log, axis, set);
        }
    }
    for set in limits::<N>() {
        both(log, 0, set);
    }
    for duration in durations::<N>() {
        check_longest(log, duration);
    }
}

fn both<const N: usize>(log: &mut Log<'_>, axis: usize, set: Set<N>) {
    for bad in [false, true] {
        let mut policy = Policy::new([handback::AxisRule::sprung(); N]);
        set(&mut policy, axis, bad);
        note(log, policy);
    }
}

/// Checks a duration of half the clock's range, and one that is a microsecond longer.
fn check_longest<const N: usize>(log: &mut Log<'_>, duration: fn(&mut Policy<N>) -> &mut Duration) {
    for ticks in [1 << 31, (1 << 31) + 1] {
        let mut policy = Policy::new([handback::AxisRule::sprung(); N]);
        policy.failsafe_after = Duration::from_ticks(1 << 31);
        *duration(&mut policy) = Duration::from_ticks(ticks);
        note(log, policy);
    }
}

/// Logs whether the policy passed, and if not, which limit, axis and value were refused.
fn note<const N: usize>(log: &mut Log<'_>, policy: Policy<N>) {
    let Err(why) = policy.check() else { return log.add(&[u8::MAX]) };
    log.coverage.refused(&why);
    log.add(&[u8::try_from(refusal_kind(&why)).unwrap_or(u8::MAX), why.axis().unwrap_or(u8::MAX)]);
    log.add(why.field().as_bytes());
    log.add(&value(&why).to_le_bytes());
}

fn value(why: &PolicyError) -> u32 {
    let bits = |deflection: Deflection| u32::from(deflection.to_bits().cast_unsigned());
    match *why {
        PolicyError::Engage { engage, .. } => bits(engage),
        PolicyError::Release { release, .. } => bits(release),
        PolicyError::Rest { rest, .. } => bits(rest),
        PolicyError::Window { window, .. } => bits(window),
        PolicyError::Failsafe { failsafe, .. } => bits(failsafe),
        PolicyError::Plausible { plausible } => bits(plausible),
        PolicyError::Beyond { beyond, .. } => bits(beyond),
        PolicyError::TooLong { value, .. } => value.as_ticks(),
        PolicyError::FailsafeBeforeTimeout { failsafe_after, .. } => failsafe_after.as_ticks(),
        PolicyError::WatchedPastLast { axis, .. }
        | PolicyError::SharedPastLast { axis, .. }
        | PolicyError::SharedUnwatched { axis }
        | PolicyError::Confirm { axis } => axis.into(),
        // Nothing watched, and a duration of 0; `refusal_kind` stops at a refusal that the flights do not know.
        _ => 0,
    }
}

/// The limit, or where it is to be bad, one unit beyond it.
fn bits(limit: i16, bad: bool, beyond: i16) -> Deflection {
    Deflection::from_bits(if bad { limit + beyond } else { limit })
}

fn axis_limits<const N: usize>() -> [Set<N>; 10] {
    [
        |policy, axis, bad| {
            policy.axes[axis].release = Deflection::CENTRE;
            policy.axes[axis].engage = bits(1, bad, -1);
        },
        |policy, axis, bad| policy.axes[axis].engage = bits(policy.plausible.to_bits() - 1, bad, 1),
        |policy, axis, bad| policy.axes[axis].release = bits(0, bad, -1),
        |policy, axis, bad| policy.axes[axis].release = bits(policy.axes[axis].engage.to_bits() - 1, bad, 1),
        |policy, axis, bad| policy.axes[axis].confirm = u8::from(!bad),
        |policy, axis, bad| policy.axes[axis].rest = Rest::At(bits(policy.plausible.to_bits(), bad, 1)),
        |policy, axis, bad| policy.axes[axis].rest = Rest::At(bits(-policy.plausible.to_bits(), bad, -1)),
        |policy, axis, bad| policy.axes[axis].window = Some(bits(0, bad, -1)),
        |policy, axis, bad| policy.axes[axis].failsafe = bits(policy.plausible.to_bits(), bad, 1),
        |policy, axis, bad| {
            let still = Duration::from_ticks((1 << 31) + u32::from(bad));
            policy.axes[axis].rest = Rest::WhereLeft { still };
        },
    ]
}

fn limits<const N: usize>() -> [Set<N>; 12] {
    [
        |policy, _, bad| policy.plausible = bits(16_384, bad, -1),
        |policy, _, bad| policy.watched = AxisSet::first(usize::from(!bad)),
        // With 16 axes there is no axis past the last.
        |policy, _, bad| policy.watched = AxisSet::first(N + usize::from(bad)),
        |policy, _, bad| policy.shared = AxisSet::first(N + usize::from(bad)),
        // With one axis, which must be watched, there is no other to share.
        |policy, _, bad| {
            policy.scope = Scope::Axis;
            policy.watched = AxisSet::first(if bad { N.saturating_sub(1).max(1) } else { N });
        },
        |policy, _, bad| policy.latches.beyond = Some(bits(0, bad, -1)),
        |policy, _, bad| policy.latches.beyond = Some(bits(policy.plausible.to_bits() - 1, bad, 1)),
        |policy, _, bad| policy.settle = Duration::from_ticks(u32::from(!bad)),
        |policy, _, bad| policy.timeout = Duration::from_ticks(u32::from(!bad)),
        |policy, _, bad| policy.late_step = Duration::from_ticks(u32::from(!bad)),
        |policy, _, bad| policy.frozen_after = Some(Duration::from_ticks(u32::from(!bad))),
        |policy, _, bad| {
            policy.late_step = Duration::from_ticks(1);
            policy.failsafe_after = Duration::from_ticks(policy.timeout.as_ticks() - u32::from(bad));
        },
    ]
}

fn durations<const N: usize>() -> [fn(&mut Policy<N>) -> &mut Duration; 10] {
    [
        |policy| &mut policy.settle,
        |policy| &mut policy.dwell,
        |policy| &mut policy.fade,
        |policy| &mut policy.pickup_max,
        |policy| &mut policy.timeout,
        |policy| &mut policy.requalify,
        |policy| &mut policy.failsafe_after,
        |policy| &mut policy.late_step,
        |policy| policy.latches.lasted.insert(Duration::from_ticks(0)),
        |policy| policy.frozen_after.insert(Duration::from_ticks(1)),
    ]
}
