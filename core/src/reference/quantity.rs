//! Quantities as floats: deflections in units of full travel, times in microseconds.
//!
//! An `f64` holds every multiple of 2^-14 and every number of microseconds up to 2^53 exactly. Sums, differences and
//! comparisons are therefore exact. [`weight`] says why the rounding of its quotient changes nothing.

use crate::quantity::{Deflection, Duration};

/// Units in the last place of a deflection, in full travel.
const UNITS: f64 = 16384.0;

/// A deflection in units of full travel.
pub(super) fn travel(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) / UNITS
}

/// The nearest deflection, halves away from zero (H4).
pub(super) fn deflection(travel: f64) -> Deflection {
    // A cast rounds towards zero.
    #[expect(clippy::cast_possible_truncation, reason = "the point of it; past the ends it saturates")]
    let bits = if travel < 0.0 { travel * UNITS - 0.5 } else { travel * UNITS + 0.5 } as i16;
    Deflection::from_bits(bits)
}

/// The value, rounded to a deflection.
pub(super) fn rounded(value: f64) -> f64 {
    travel(deflection(value))
}

/// A duration in microseconds.
pub(super) fn micros(duration: Duration) -> f64 {
    f64::from(duration.as_ticks())
}

/// Remaining time of `whole` after `elapsed`, 0 once it is over.
pub(super) fn left(whole: Duration, elapsed: f64) -> Duration {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole number from 0 to 2^31")]
    let ticks = (micros(whole) - elapsed).max(0.0) as u32;
    Duration::from_ticks(ticks)
}

/// W / 2^14 (H4): 0 in the step where a fade begins, 1 from `fade` on.
///
/// The quotient is below 2^14. It is either whole, and then exact, or at least 1/2^31 from a whole number. A double of
/// that size has an error of at most 2^-40, so the floor of the float is the floor of the real number.
pub(super) fn weight(elapsed: f64, fade: f64) -> f64 {
    if elapsed >= fade {
        return 1.0;
    }
    // The cast of a number that is not negative is its floor.
    #[expect(clippy::cast_possible_truncation, reason = "the floor is wanted, and it is below 2^14")]
    let whole = (UNITS * elapsed / fade) as i32;
    f64::from(whole) / UNITS
}
