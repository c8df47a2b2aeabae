//! The weight of a fade, and the value that it gives between two deflections (H4).

use crate::policy::Reciprocal;
use crate::quantity::Deflection;

/// The weight W of a fade (H4), 0 to 2^14.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Weight(i32);

impl Weight {
    /// floor(2^14 * passed / fade), where less than the fade has passed.
    pub(super) fn after(passed: u32, by: Reciprocal) -> Self {
        // The bits dropped from the time make `low` too small by less than a half, and the bits dropped from the
        // inverse by less than another half: `low` is the weight, or one less. So the remainder is below 2 * fade <=
        // 2^32, and exact although its two terms wrap.
        let low = (passed >> by.shift).wrapping_mul(by.inverse) >> 17;
        let remainder = (passed << 14).wrapping_sub(low.wrapping_mul(by.fade.as_ticks()));
        Self(low.wrapping_add(u32::from(remainder >= by.fade.as_ticks())).cast_signed())
    }

    /// from + (to - from) * W / 2^14, rounded to nearest, halves away from zero. The result lies between the two.
    pub(super) fn between(self, from: Deflection, to: Deflection) -> Deflection {
        let (from, to) = (i32::from(from.to_bits()), i32::from(to.to_bits()));
        // Nothing here wraps: `from` is within 2^15, `to - from` within 2^16, the weight within 2^14, the sum within
        // 2^29. A saturating product would cost a Cortex-M0 a 64-bit multiplication (N4).
        let line = (from << 14).wrapping_add(to.wrapping_sub(from).wrapping_mul(self.0));
        let size = line.wrapping_abs().wrapping_add(1 << 13) >> 14;
        #[allow(clippy::cast_possible_truncation)] // between two deflections
        Deflection::from_bits(if line < 0 { size.wrapping_neg() } else { size } as i16)
    }
}

#[cfg(test)]
#[allow(clippy::arithmetic_side_effects, clippy::cast_possible_truncation)]
mod tests {
    use super::*;
    use crate::Duration;

    /// Given fades near every power of two, and times near every quarter of a fade and beside both of its ends, then
    /// the weight is the quotient that the contract asks for.
    ///
    /// Rules: H4 N4
    #[test]
    fn a_weight_is_the_floor_of_the_quotient() {
        let near = |middle: u64| (middle.saturating_sub(3)..=middle + 3).filter(|&x| x <= 1 << 31);
        let mut checked = 0;
        let any = (0..2000).map(|n| (n * n * n * 271 + n) % (1 << 31));
        for fade in (0..=31).flat_map(|power| near(1 << power)).chain(any) {
            let by = Reciprocal::of(Duration::from_ticks(fade as u32));
            let spread = (0..200).map(|n| fade * n / 200);
            // An error would show at the steps of the quotient, and one microsecond before them.
            let edges = (1..=64).map(|n| (n * 255 * fade).div_ceil(1 << 14)).flat_map(near);
            for passed in [0, 1, 4].into_iter().flat_map(|n| near(fade * n / 4)).chain(spread).chain(edges) {
                if passed >= fade {
                    continue;
                }
                let exact = (passed << 14) / fade;
                assert_eq!(i64::from(Weight::after(passed as u32, by).0), exact.cast_signed(), "{passed} of {fade}");
                checked += 1;
            }
        }
        assert!(checked > 1_000_000, "{checked}");
    }
}
