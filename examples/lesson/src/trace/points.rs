//! Points as decimal text, to and from the 2^-14ths of a deflection, in whole numbers all the way.
//!
//! 1 point is 163.84 units. With at most 4 decimals a value is a whole number of ten-thousandths, and 256 units are
//! 15625 of those. 15625 is odd, so no such value lies half way between two units.

use std::fmt;

use handback::Deflection;

/// Why a cell is not a deflection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NotPoints {
    /// No decimal number.
    NotANumber,
    /// More than 4 decimals.
    TooFine,
    /// Beyond what a deflection can hold.
    TooFar,
}

/// A deflection as points with as few decimals as read back to the same bits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Points(pub(crate) Deflection);

const TEN_THOUSANDTHS: i64 = 15_625;
const UNITS: i64 = 256;

/// Divides by a positive divisor, rounding to nearest, halves away from zero.
const fn rounded(value: i64, divisor: i64) -> i64 {
    let half = if value < 0 { -(divisor / 2) } else { divisor / 2 };
    (value + half) / divisor
}

/// Reads points such as `-12.5` or `100`.
pub(crate) fn bits_of(cell: &[u8]) -> Result<Deflection, NotPoints> {
    let (negative, digits) = match cell {
        [b'-', digits @ ..] => (true, digits),
        digits => (false, digits),
    };
    let mut value: i64 = 0;
    let mut decimals = None;
    let mut any = false;
    for &byte in digits {
        match byte {
            b'0'..=b'9' => {
                any = true;
                // Saturating: a cell of a hundred digits is too far, not a wrap.
                value = value.saturating_mul(10).saturating_add(i64::from(byte - b'0'));
                decimals = decimals.map(|count: u32| count + 1);
            }
            b'.' if decimals.is_none() => decimals = Some(0),
            _ => return Err(NotPoints::NotANumber),
        }
    }
    let missing = match decimals.unwrap_or(0) {
        _ if !any => return Err(NotPoints::NotANumber),
        count @ 0..=4 => 4 - count,
        _ => return Err(NotPoints::TooFine),
    };
    let size = value.saturating_mul(10_i64.pow(missing));
    if size > 10_000_000 {
        return Err(NotPoints::TooFar);
    }
    let bits = rounded(if negative { -size } else { size } * UNITS, TEN_THOUSANDTHS);
    i16::try_from(bits).map(Deflection::from_bits).map_err(|_| NotPoints::TooFar)
}

impl fmt::Display for Points {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bits = i64::from(self.0.to_bits());
        // Three decimals are finer than a unit, so the search ends.
        for (decimals, scale) in [(0, 1), (1, 10), (2, 100), (3, 1000)] {
            let value = rounded(bits * 100 * scale, 1 << 14);
            if decimals == 3 || rounded(value << 14, 100 * scale) == bits {
                let sign = if value < 0 { "-" } else { "" };
                let (whole, part) = (value.abs() / scale, value.abs() % scale);
                return if decimals == 0 {
                    write!(f, "{sign}{whole}")
                } else {
                    write!(f, "{sign}{whole}.{part:0decimals$}")
                };
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_deflection_reads_back_to_the_same_bits() {
        for bits in i16::MIN..=i16::MAX {
            let deflection = Deflection::from_bits(bits);
            let text = Points(deflection).to_string();
            assert_eq!(bits_of(text.as_bytes()), Ok(deflection), "{text}");
        }
    }

    #[test]
    fn points_are_rounded_to_the_nearest_unit_away_from_zero() {
        // 163.84 units a point: 2 -> 327.68, 1.5 -> 245.76, 0.0001 -> 0.016384, 0.0031 -> 0.507904
        for (text, bits) in [
            ("2", 328),
            ("-2", -328),
            ("1.5", 246),
            ("-1.5000", -246),
            ("0.0001", 0),
            ("-0", 0),
            ("0.0031", 1),
            ("-0.0031", -1),
            ("100", 16_384),
            (".5", 82),
            ("5.", 819),
            ("000100.0", 16_384),
            ("-200", i16::MIN),
            ("199.99", 32_766),
            ("199.9939", i16::MAX),
        ] {
            assert_eq!(bits_of(text.as_bytes()), Ok(Deflection::from_bits(bits)), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_of_points_says_why() {
        for text in ["", "-", ".", "-.", "NaN", "inf", "1e2", "1,5", "1.2.3", "--1", "+1", "0x10", "\u{664}"] {
            assert_eq!(bits_of(text.as_bytes()), Err(NotPoints::NotANumber), "{text}");
        }
        for text in ["200", "-200.01", "199.9999", "99999999999999999999999999"] {
            assert_eq!(bits_of(text.as_bytes()), Err(NotPoints::TooFar), "{text}");
        }
        assert_eq!(bits_of(b"1.00000"), Err(NotPoints::TooFine));
    }
}
