//! The policy of the figures: everything on.

use handback::{AxisRule, Deflection, Duration, Latches, Policy, Scope, Transfer};

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
