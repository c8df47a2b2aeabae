//! Sets of axes, one bit each.

use core::fmt;
use core::ops::{BitAnd, BitOr};

/// A set of axes, 0 to 15.
///
/// ```
/// use handback::AxisSet;
/// let sticks = AxisSet::first(4);
/// let all_but_throttle = sticks.without(2);
/// assert_eq!(all_but_throttle, AxisSet::of(&[0, 1, 3]));
/// assert_eq!(sticks.except(all_but_throttle).lowest(), Some(2));
/// assert_eq!(all_but_throttle.iter().count(), 3);
/// assert_eq!(format!("{all_but_throttle:?}"), "{0, 1, 3}");
/// ```
#[derive(Clone, Copy, Default, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(transparent))]
pub struct AxisSet(u16);

impl AxisSet {
    /// No axis.
    pub const EMPTY: Self = Self(0);
    /// All sixteen axes.
    pub const ALL: Self = Self(u16::MAX);

    /// The same set, for a walk over the axes.
    pub(crate) const fn wide(self) -> WideSet {
        WideSet(self.0 as u32)
    }

    /// The set whose bit `a` says whether axis `a` is in it.
    pub const fn from_bits(bits: u16) -> Self {
        Self(bits)
    }

    /// Bit `a` says whether axis `a` is in the set.
    pub const fn to_bits(self) -> u16 {
        self.0
    }

    /// The axes 0 to `count - 1`; all sixteen where `count` is 16 or more.
    pub const fn first(count: usize) -> Self {
        if count >= 16 { Self::ALL } else { Self(!(u16::MAX << count)) }
    }

    /// The axes listed; numbers past 15 are no axes and are left out.
    pub const fn of(axes: &[u8]) -> Self {
        let mut set = Self::EMPTY;
        let mut rest = axes;
        while let [axis, tail @ ..] = rest {
            set = set.with(*axis);
            rest = tail;
        }
        set
    }

    const fn bit(axis: u8) -> u16 {
        if axis < 16 { 1 << axis } else { 0 }
    }

    /// This set with one axis added.
    #[must_use]
    pub const fn with(self, axis: u8) -> Self {
        Self(self.0 | Self::bit(axis))
    }

    /// This set with one axis removed.
    #[must_use]
    pub const fn without(self, axis: u8) -> Self {
        Self(self.0 & !Self::bit(axis))
    }

    /// The axes of this set that are not in the other.
    #[must_use]
    pub const fn except(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    pub(crate) const fn with_if(self, axis: u8, condition: bool) -> Self {
        if condition { self.with(axis) } else { self }
    }

    /// Whether the axis is in the set.
    pub const fn contains(self, axis: u8) -> bool {
        self.0 & Self::bit(axis) != 0
    }

    /// Whether there is no axis in the set.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// How many axes are in the set.
    pub const fn len(self) -> u32 {
        self.0.count_ones()
    }

    /// Whether every axis of this set is in the other.
    pub const fn is_subset_of(self, other: Self) -> bool {
        self.0 & !other.0 == 0
    }

    /// Whether the two sets have an axis in common.
    pub const fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// The lowest axis in the set.
    pub const fn lowest(self) -> Option<u8> {
        #[allow(clippy::cast_possible_truncation)] // at most 16
        let zeros = self.0.trailing_zeros() as u8;
        if self.is_empty() { None } else { Some(zeros) }
    }

    /// The axes in the set, lowest first.
    pub fn iter(self) -> impl Iterator<Item = u8> {
        (0..16).filter(move |&axis| self.contains(axis))
    }
}

/// The axes in braces: `{0, 1, 3}`.
/// A set of axes during a walk over a frame. It fills a register, so that a 32-bit processor does not cut every
/// intermediate result to 16 bits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WideSet(u32);

impl WideSet {
    pub(crate) const EMPTY: Self = Self(0);
    /// Axis 0 alone: the first of a walk with [`next`](Self::next).
    pub(crate) const FIRST: Self = Self(1);

    /// The next axis, where this is a single one.
    pub(crate) const fn next(self) -> Self {
        Self(self.0 << 1)
    }

    pub(crate) const fn meets(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    #[must_use]
    pub(crate) const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    #[must_use]
    pub(crate) const fn except(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// The set after the walk; no axis is beyond the last one.
    #[allow(clippy::cast_possible_truncation)]
    pub(crate) const fn narrow(self) -> AxisSet {
        AxisSet(self.0 as u16)
    }
}

impl fmt::Debug for AxisSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self.iter()).finish()
    }
}

impl BitOr for AxisSet {
    type Output = Self;
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitAnd for AxisSet {
    type Output = Self;
    fn bitand(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}
