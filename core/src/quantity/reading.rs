//! The reading of a channel: a pulse width, or a count of an analogue-to-digital converter.
//!
//! Both are 16 bits wide. Their types differ, so that neither can be used in place of the other, or of a deflection.

use core::fmt;
use core::marker::PhantomData;

/// A pulse width in sixteenths of a microsecond, 0 to 4095.94 us.
///
/// This is finer than any servo resolves. It is twice as coarse as a deflection of a 1000..2000 us pulse, so that a
/// pulse is the same after conversion to a deflection and back. The count of a timer with ticks of 1, 1/2, 1/4 .. 1/16
/// us only needs a shift.
///
/// ```
/// use handback::Pulse;
/// assert_eq!(Pulse::from_bits(2 * 8), Pulse::from_micros(1)); // two ticks of a 2 MHz timer
/// assert_eq!(Pulse::from_bits(24_001).to_string(), "1500.06 us");
/// ```
pub type Pulse = Reading<Micros>;

/// A count of an analogue-to-digital converter of up to 16 bits, unscaled.
///
/// ```
/// assert_eq!(handback::Count::from_bits(2048).to_string(), "2048 counts");
/// ```
pub type Count = Reading<Counts>;

/// One reading of one channel, in [`Micros`] or [`Counts`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(transparent, bound = ""))]
pub struct Reading<U> {
    bits: u16,
    unit: PhantomData<U>,
}

/// Microseconds, in sixteenths: the unit of a [`Pulse`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Micros {}

/// Counts of a converter: the unit of a [`Count`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Counts {}

/// The unit of a reading: [`Micros`] or [`Counts`], and nothing else.
pub trait Unit: Copy + Eq + fmt::Debug + sealed::Sealed {
    /// Its name in messages.
    const NAME: &'static str;
    /// Number of bits of a reading that are a fraction of the unit.
    const FRACTION_BITS: u32;
    /// The smallest distance from centre to an end that counts as a stick's travel, in steps of a reading. Own choice:
    /// if nobody moved a stick while its ends were learnt, its travel would be its noise, and that noise would fly the
    /// craft.
    const LEAST_TRAVEL: u16;
}

impl Unit for Micros {
    const NAME: &'static str = "us";
    const FRACTION_BITS: u32 = 4;
    const LEAST_TRAVEL: u16 = 16 * 100;
}

impl Unit for Counts {
    const NAME: &'static str = "counts";
    const FRACTION_BITS: u32 = 0;
    const LEAST_TRAVEL: u16 = 32;
}

mod sealed {
    pub trait Sealed {}
    impl Sealed for super::Micros {}
    impl Sealed for super::Counts {}
}

impl<U> Reading<U> {
    /// The smallest reading, which a dead input gives.
    pub const MIN: Self = Self::from_bits(0);
    /// The largest reading, which also stands for everything beyond it.
    pub const MAX: Self = Self::from_bits(u16::MAX);

    /// A reading from sixteenths of a microsecond, or from counts.
    pub const fn from_bits(bits: u16) -> Self {
        Self { bits, unit: PhantomData }
    }

    /// This reading in sixteenths of a microsecond, or in counts.
    pub const fn to_bits(self) -> u16 {
        self.bits
    }
}

impl Pulse {
    /// A pulse from whole microseconds. From 4096 us on it saturates, and no set-up accepts that as a stick.
    ///
    /// ```
    /// use handback::Pulse;
    /// assert_eq!(Pulse::from_micros(1500).to_bits(), 24_000);
    /// assert_eq!(Pulse::from_micros(1_000_000), Pulse::MAX);
    /// ```
    pub const fn from_micros(micros: u32) -> Self {
        #[allow(clippy::cast_possible_truncation)] // below 2^12
        Self::from_bits(if micros < 1 << 12 { (micros as u16) << 4 } else { u16::MAX })
    }

    /// This pulse in microseconds, rounded to nearest, halves up.
    ///
    /// ```
    /// use handback::Pulse;
    /// assert_eq!([23_999, 24_007, 24_008].map(|bits| Pulse::from_bits(bits).to_micros()), [1500, 1500, 1501]);
    /// ```
    pub const fn to_micros(self) -> u16 {
        // `MAX` rounds to 4096, and its sum needs a seventeenth bit.
        #[allow(clippy::cast_possible_truncation)]
        let micros = ((self.bits as u32).wrapping_add(8) >> 4) as u16;
        micros
    }
}

impl<U: Unit> Reading<U> {
    /// For display: whole units and, where a unit has a fraction, the nearest hundredth.
    pub(crate) const fn parts(self) -> (u16, Option<u16>) {
        if U::FRACTION_BITS == 0 {
            return (self.bits, None);
        }
        let steps = 1u16.wrapping_shl(U::FRACTION_BITS);
        // At most (15 * 100 + 8) / 16, which is below 100.
        let part = (self.bits & steps.wrapping_sub(1)).wrapping_mul(100).wrapping_add(steps >> 1);
        (self.bits.wrapping_shr(U::FRACTION_BITS), Some(part.wrapping_shr(U::FRACTION_BITS)))
    }
}

impl<U: Unit> fmt::Display for Reading<U> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = self.parts();
        write!(f, "{whole}")?;
        if let Some(part) = part {
            write!(f, ".{part:02}")?;
        }
        write!(f, " {}", U::NAME)
    }
}

#[cfg(feature = "defmt")]
impl<U: Unit> defmt::Format for Reading<U> {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "{}/{} {=str}", self.bits, 1u16.wrapping_shl(U::FRACTION_BITS), U::NAME);
    }
}
