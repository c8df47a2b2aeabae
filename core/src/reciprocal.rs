//! What a fade divides by, worked out when the policy is checked, so that a step only multiplies (H4, N4).

use crate::clock::Duration;

/// Times that have been shortened, multiplied by their inverse, stay below this.
const LARGEST_PRODUCT: u32 = 1 << 31;

/// One over the duration of a fade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Reciprocal {
    pub(crate) fade: Duration,
    /// How many of the last bits of a time are left out, so that 16 bits are left of `fade`.
    pub(crate) shift: u32,
    /// floor(2^(31 + shift) / fade), at most 2^16 where anything is left out.
    pub(crate) inverse: u32,
}

impl Reciprocal {
    pub(crate) const fn of(fade: Duration) -> Self {
        let ticks = fade.as_ticks();
        let shift = 16_u32.saturating_sub(ticks.leading_zeros());
        let (Some(mut inverse), Some(mut remainder)) =
            (LARGEST_PRODUCT.checked_div(ticks), LARGEST_PRODUCT.checked_rem(ticks))
        else {
            // A fade of 0 is over when it begins, and nothing ever asks.
            return Self { fade, shift, inverse: 0 };
        };
        // The division goes on bit by bit. `fade` is at most 2^31, so twice a remainder does not overflow.
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
