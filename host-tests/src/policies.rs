//! Policies that the tests start from.

use handback::{AxisRule, Deflection, Duration, Policy, Rest};

use crate::quantities::{ms, points, us};

/// `N` sprung axes and every default.
pub const fn sprung<const N: usize>() -> Policy<N> {
    Policy::new([AxisRule::sprung(); N])
}

/// The shortest settling that a policy may have (P1).
pub(crate) const LEAST_SETTLE: Duration = us(1);

/// `N` sprung axes that change hands with next to nothing in between: a settling of 1 us, the least there is, and no
/// dwell, fade or qualifying, so that a test sees the one timer that it sets.
pub const fn bare<const N: usize>() -> Policy<N> {
    Policy { settle: LEAST_SETTLE, dwell: ms(0), fade: ms(0), requalify: ms(0), ..sprung() }
}

/// An unsprung axis whose failsafe is idle.
pub const fn unsprung() -> AxisRule {
    AxisRule::unsprung(points(-100))
}

/// An unsprung axis that rests at a fixed place and latches nothing: a pickup without the learning of a rest.
pub const fn parked(rest: Deflection) -> AxisRule {
    AxisRule { rest: Rest::At(rest), keep: false, ..unsprung() }
}
