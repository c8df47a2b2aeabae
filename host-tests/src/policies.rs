//! The policies from which the tests build theirs.

use crate::with;
use handback::{AxisRule, Deflection, Duration, Policy, Rest};

use crate::quantities::{ms, points, us};

/// A policy of `N` sprung axes, with every default.
pub const fn sprung<const N: usize>() -> Policy<N> {
    Policy::new([AxisRule::sprung(); N])
}

/// The shortest settling that a policy may have (P1).
pub(crate) const LEAST_SETTLE: Duration = us(1);

/// A policy of `N` sprung axes without delays: `settle` is 1 us, the least, and `dwell`, `fade` and `requalify` are 0.
/// A test then sees only the timer that it sets.
pub const fn bare<const N: usize>() -> Policy<N> {
    with!(sprung(), settle: LEAST_SETTLE, dwell: ms(0), fade: ms(0), requalify: ms(0))
}

/// An unsprung axis whose failsafe is idle, -100 points.
pub const fn unsprung() -> AxisRule {
    AxisRule::unsprung(points(-100))
}

/// An unsprung axis with a fixed rest that latches nothing: a pickup without a rest to learn.
pub const fn parked(rest: Deflection) -> AxisRule {
    with!(unsprung(), rest: Rest::At(rest), keep: false)
}
