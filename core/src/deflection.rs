//! The quantities of a lesson: the deflection of a stick, and the sticks at one moment.

use core::fmt;

use fixed::types::I2F14;

use crate::axis_set::AxisSet;

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

    /// A deflection from units of 2^-14 of full travel.
    pub const fn from_bits(bits: i16) -> Self {
        Self(I2F14::from_bits(bits))
    }

    /// This deflection in units of 2^-14 of full travel.
    pub const fn to_bits(self) -> i16 {
        self.0.to_bits()
    }

    /// A deflection in whole points, rounded to the nearest unit; beyond -200 or 199 points it saturates. For parts of a
    /// point: [`from_centipoints`](Self::from_centipoints), 250 for 2.5 points.
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

/// The deflections of all `N` axes at one moment, `N` from 1 to 16.
///
/// ```
/// use handback::{Deflection, Frame};
/// let frame = Frame::new([Deflection::CENTRE, Deflection::from_points(-100)]);
/// assert_eq!(frame.get(1), Some(Deflection::from_points(-100)));
/// assert_eq!(frame.get(2), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(align(4))] // so that the smallest processors copy two axes at a time, too
pub struct Frame<const N: usize>(#[cfg_attr(feature = "serde", serde(with = "crate::array"))] [Deflection; N]);

impl<const N: usize> Frame<N> {
    /// Every axis at its centre.
    pub const CENTRE: Self = Self([Deflection::CENTRE; N]);

    /// A frame of these deflections, axis 0 first.
    pub const fn new(axes: [Deflection; N]) -> Self {
        Self(axes)
    }

    /// The deflections, axis 0 first.
    pub const fn axes(&self) -> &[Deflection; N] {
        &self.0
    }

    /// The deflections for writing, axis 0 first.
    pub const fn axes_mut(&mut self) -> &mut [Deflection; N] {
        &mut self.0
    }

    /// Whether every axis is within ±`limit`.
    #[inline]
    pub(crate) fn within(&self, limit: Deflection) -> bool {
        let limit = i32::from(limit.to_bits());
        // One comparison: both sums fit, and a sum below 0 becomes a very large unsigned number.
        self.0.iter().all(|x| {
            i32::from(x.to_bits()).wrapping_add(limit).cast_unsigned() <= limit.wrapping_mul(2).cast_unsigned()
        })
    }

    /// The axes that are beyond ±`limit`.
    #[cold]
    #[inline(never)]
    pub(crate) fn beyond(&self, limit: Deflection) -> AxisSet {
        let (mut beyond, mut axis) = (AxisSet::EMPTY, AxisSet::FIRST);
        for x in &self.0 {
            if x.magnitude() > limit.magnitude() {
                beyond = beyond | axis;
            }
            axis = axis.next();
        }
        beyond
    }

    /// This frame, with these axes from another.
    #[inline]
    pub(crate) fn with_axes_of(&self, other: &Self, axes: AxisSet) -> Self {
        if AxisSet::first(N).is_subset_of(axes) {
            return *other;
        }
        if axes.is_empty() {
            return *self;
        }
        let (mut mixed, mut this) = (*self, AxisSet::FIRST);
        for (x, other) in mixed.0.iter_mut().zip(&other.0) {
            if axes.meets(this) {
                *x = *other;
            }
            this = this.next();
        }
        mixed
    }

    /// The deflection of one axis, `None` past the last.
    pub fn get(&self, axis: u8) -> Option<Deflection> {
        self.0.get(usize::from(axis)).copied()
    }
}
