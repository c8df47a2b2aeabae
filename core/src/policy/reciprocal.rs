//! The reciprocal of a fade, computed when the policy is checked, so that a step only multiplies (H4, N4).

use crate::quantity::Duration;

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
        let mut shift: u32 = 0;
        while ticks >> shift > 0xFFFF {
            shift = shift.wrapping_add(1);
        }
        // Long division of 2^(31 + shift), bit by bit: the check may be slow, and a processor without a divider needs no
        // library for it. `fade` is at most 2^31, so twice a remainder does not overflow. A fade of 0 is over when it
        // begins, so its reciprocal is never used.
        let (mut inverse, mut remainder, mut bits) = (0_u32, 1_u32, shift.wrapping_add(31));
        loop {
            inverse = inverse.wrapping_mul(2);
            if remainder >= ticks {
                remainder = remainder.wrapping_sub(ticks);
                inverse = inverse.wrapping_add(1);
            }
            if bits == 0 {
                return Self { fade, shift, inverse };
            }
            bits = bits.wrapping_sub(1);
            remainder = remainder.wrapping_mul(2);
        }
    }
}
