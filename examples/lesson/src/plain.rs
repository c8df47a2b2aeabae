//! What every lesson is compared with: the same policy as a plain threshold.

use handback::{Deflection, Duration, Policy, Rest};

/// The same policy without a dwell, each stick with a fixed rest free one unit below where it was held.
///
/// A stick that rests where it was left keeps its rule: there `release` is how still it must lie, not a hysteresis.
pub(crate) fn plain<const N: usize>(mut policy: Policy<N>) -> Policy<N> {
    policy.dwell = Duration::from_ticks(0);
    for rule in policy.axes.iter_mut().filter(|rule| matches!(rule.rest, Rest::At(_))) {
        rule.release = rule.engage.saturating_sub(Deflection::from_bits(1));
    }
    policy
}
