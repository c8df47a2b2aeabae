//! Quotients of whole numbers, exact or saturated.

/// The quotient, rounded down; 0 where `b` is 0.
pub(super) fn ratio(a: u64, b: u64) -> u64 {
    a.checked_div(b).unwrap_or(0)
}

/// The quotient in 256ths, rounded down, exact where it is below 2^56; `by` is below 2^56.
pub(super) fn in_256ths(a: u64, by: u64) -> u64 {
    let whole = ratio(a, by);
    let left = a.wrapping_sub(whole.wrapping_mul(by));
    (whole << 8).wrapping_add(ratio(left << 8, by))
}

pub(super) fn floor(a: i64, by: u32) -> i64 {
    a.checked_div_euclid(i64::from(by)).unwrap_or(0)
}

pub(super) fn saturate_u32(x: u64) -> u32 {
    u32::try_from(x).unwrap_or(u32::MAX)
}
