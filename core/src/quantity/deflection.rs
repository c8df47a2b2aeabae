//! The deflection of a stick.

use core::fmt;

use fixed::types::I2F14;

/// How far a stick is from its centre: signed fixed point with 14 fraction bits.
///
/// 0 is centre and ±1.0 full nominal travel. A *point* is 0.01 of that; 2 points are 10 us of a 1000..2000 us pulse.
/// The range is -2.0 to just under +2.0, in steps of 2^-14 (0.0061 points). Extended travel up to ±1.25 is normal.
///
/// ```
/// use handback::Deflection;
/// assert_eq!(Deflection::from_points(2).to_bits(), 328);
/// assert_eq!(Deflection::from_points(-100), Deflection::from_bits(-16384));
/// assert_eq!(Deflection::from_points(8).to_string(), "8.00 points");
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(from = "i16", into = "i16"))]
pub struct Deflection(I2F14);

impl Deflection {
    /// The stick at its nominal centre.
    pub const CENTRE: Self = Self::from_bits(0);
    /// Full nominal travel, 100 points.
    pub const FULL: Self = Self::from_bits(1 << 14);
    /// The smallest deflection that can be written, -200 points.
    pub const MIN: Self = Self::from_bits(i16::MIN);
    /// The largest deflection that can be written, one unit under 200 points.
    pub const MAX: Self = Self::from_bits(i16::MAX);
    /// The mark for a reading that is out of range, and for an axis without a channel. It is -200 points, which is
    /// beyond the `plausible` of every policy: a frame in which this axis matters is bad.
    pub const OUT_OF_RANGE: Self = Self::MIN;

    /// A deflection from units of 2^-14 of full travel.
    pub const fn from_bits(bits: i16) -> Self {
        Self(I2F14::from_bits(bits))
    }

    /// This deflection in units of 2^-14 of full travel.
    pub const fn to_bits(self) -> i16 {
        self.0.to_bits()
    }

    /// A deflection in whole points, rounded to the nearest unit; beyond -200 or 199 points it saturates. For parts of
    /// a point: [`from_centipoints`](Self::from_centipoints), 250 for 2.5 points.
    pub const fn from_points(points: i16) -> Self {
        Self::from_centipoints((points as i32).saturating_mul(100))
    }

    /// A deflection from hundredths of a point, rounded to the nearest unit, halves away from zero; saturates.
    ///
    /// ```
    /// use handback::Deflection;
    /// assert_eq!(Deflection::from_centipoints(150).to_bits(), 246); // 245.76
    /// assert_eq!(Deflection::from_centipoints(99_999), Deflection::MAX);
    /// ```
    pub const fn from_centipoints(centipoints: i32) -> Self {
        if centipoints <= -20_000 {
            return Self::MIN;
        }
        if centipoints >= 20_000 {
            return Self::MAX;
        }
        // 16384 / 10000 = 1024 / 625. Within the range, neither the product nor the result is too large.
        let half = if centipoints < 0 { -312 } else { 312 };
        #[allow(clippy::cast_possible_truncation)]
        Self::from_bits((centipoints.saturating_mul(1024).saturating_add(half) / 625) as i16)
    }

    /// Whether two deflections are no further apart than `distance`, in units of 2^-14.
    pub(crate) const fn is_within(self, distance: u16, other: Self) -> bool {
        // One comparison: the sum fits, and a sum below 0 becomes a very large unsigned number.
        let (x, other, distance) = (self.to_bits() as i32, other.to_bits() as i32, distance as i32);
        x.wrapping_sub(other).wrapping_add(distance).cast_unsigned() <= distance.wrapping_mul(2).cast_unsigned()
    }

    /// The distance between two deflections in units of 2^-14. Every distance fits, none wraps (N1).
    pub(crate) const fn distance(self, other: Self) -> u16 {
        self.to_bits().abs_diff(other.to_bits())
    }

    /// The distance from centre in units of 2^-14.
    pub(crate) const fn magnitude(self) -> u16 {
        self.to_bits().unsigned_abs()
    }

    /// This deflection less another, saturated at [`MIN`](Self::MIN) and [`MAX`](Self::MAX).
    #[must_use]
    pub const fn saturating_sub(self, other: Self) -> Self {
        Self::from_bits(self.to_bits().saturating_sub(other.to_bits()))
    }
}

impl From<I2F14> for Deflection {
    fn from(value: I2F14) -> Self {
        Self(value)
    }
}

impl From<Deflection> for I2F14 {
    fn from(deflection: Deflection) -> Self {
        deflection.0
    }
}

impl From<i16> for Deflection {
    fn from(bits: i16) -> Self {
        Self::from_bits(bits)
    }
}

impl From<Deflection> for i16 {
    fn from(deflection: Deflection) -> Self {
        deflection.to_bits()
    }
}

impl fmt::Display for Deflection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Integers only: a float formatter would cost a microcontroller kilobytes.
        let bits = i64::from(self.to_bits());
        let centipoints = bits.saturating_mul(625).saturating_add(if bits < 0 { -512 } else { 512 }) / 1024;
        let sign = if centipoints < 0 { "-" } else { "" };
        let size = centipoints.unsigned_abs();
        write!(f, "{sign}{}.{:02} points", size / 100, size % 100)
    }
}

#[cfg(feature = "defmt")]
impl defmt::Format for Deflection {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "{}/16384", self.to_bits());
    }
}

#[cfg(test)]
mod tests {
    use super::{Deflection, I2F14};

    /// Given any deflection, when it is converted to bits or to fixed point and back, then it is the same.
    #[test]
    fn deflections_convert_there_and_back() {
        for bits in i16::MIN..=i16::MAX {
            let deflection = Deflection::from(bits);
            assert_eq!((i16::from(deflection), I2F14::from(deflection).to_bits()), (bits, bits));
            assert_eq!(Deflection::from(I2F14::from_bits(bits)), deflection);
        }
    }

    /// Given pairs of deflections over the whole range, and every distance beside theirs, then the one comparison
    /// agrees with the distance.
    ///
    /// Rules: N1
    #[test]
    fn one_comparison_tells_whether_two_sticks_are_near() {
        let places = || (i16::MIN..=i16::MAX).step_by(655).chain([-1, 0, 1, i16::MAX]).map(Deflection::from_bits);
        for (x, other) in places().flat_map(|x| places().map(move |other| (x, other))) {
            let apart = x.distance(other);
            for distance in [0, 1, apart.saturating_sub(1), apart, apart.saturating_add(1), u16::MAX] {
                assert_eq!(x.is_within(distance, other), apart <= distance, "{x:?} {other:?} {distance}");
            }
        }
    }
}
