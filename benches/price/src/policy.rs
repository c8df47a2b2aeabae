//! The policies of the figures: everything on, and all rests where left.

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};

/// Every rule has work on every axis: all axes are watched, shared, confirmed, gated and picked up. One axis in four
/// rests where left and keeps the craft. Both latches are on, and every change fades.
pub const fn everything_on<const N: usize>(scope: Scope) -> Policy<N> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    let mut axis = 0;
    while axis < N {
        let mut rule =
            if axis % 4 == 2 { AxisRule::unsprung(Deflection::from_points(-100)) } else { AxisRule::sprung() };
        rule.confirm = 2;
        rule.transfer = Transfer::Pickup;
        rule.window = Some(Deflection::from_points(30));
        policy.axes[axis] = rule;
        axis += 1;
    }
    policy.scope = scope;
    policy.latches = Latches { lasted: Some(Duration::from_millis(3_000)), beyond: Some(Deflection::from_points(50)) };
    policy
}

/// Every stick rests where it was left, which costs more than a fixed rest. No axis keeps the craft, so that the latch
/// looks at every stick. The last axis is not shared: the student's frame stays good while that axis is beyond
/// `plausible`, and is looked at twice. The link can freeze.
pub const fn all_where_left<const N: usize>(scope: Scope) -> Policy<N> {
    let mut policy = everything_on::<N>(scope);
    let mut axis = 0;
    while axis < N {
        policy.axes[axis].engage = Deflection::from_points(3);
        policy.axes[axis].release = Deflection::from_points(1);
        policy.axes[axis].rest = Rest::WhereLeft { still: Duration::from_millis(500) };
        policy.axes[axis].keep = false;
        axis += 1;
    }
    policy.shared = AxisSet::first(N - 1);
    policy.frozen_after = Some(Duration::from_millis(60_000));
    policy
}
