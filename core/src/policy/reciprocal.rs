//! The reciprocal of a fade, computed when the policy is checked, so that a step only multiplies (H4, N4).

use crate::quantity::Duration;

/// The product of a shortened time and its inverse stays below this.
const LARGEST_PRODUCT: u32 = 1 << 31;

/// The reciprocal of the duration of a fade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Reciprocal {
    pub(crate) fade: Duration,
    /// Number of low bits that are dropped from a time, so that 16 bits of `fade` remain.
    pub(crate) shift: u32,
    /// floor(2^(31 + shift) / fade), at most 2^16 where `shift` is not 0.
    pub(crate) inverse: u32,
}

impl Reciprocal {
    pub(crate) const fn of(fade: Duration) -> Self {
        let ticks = fade.as_ticks();
        let shift = 16_u32.saturating_sub(ticks.leading_zeros());
        let (Some(mut inverse), Some(mut remainder)) =
            (LARGEST_PRODUCT.checked_div(ticks), LARGEST_PRODUCT.checked_rem(ticks))
        else {
            // A fade of 0 is over when it begins, so its reciprocal is never used.
            return Self { fade, shift, inverse: 0 };
        };
        // The division continues bit by bit. `fade` is at most 2^31, so twice a remainder does not overflow.
        let mut bits = 0;
        while bits < shift {
            remainder = remainder.wrapping_mul(2);
            inverse = inverse.wrapping_mul(2);
            if remainder >= ticks {
                remainder = remainder.wrapping_sub(ticks);
                inverse = inverse.wrapping_add(1);
            }
            bits = bits.saturating_add(1);
        }
        Self { fade, shift, inverse }
    }
}
