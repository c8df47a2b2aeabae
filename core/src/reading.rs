//! What a channel is read as, and written as: a pulse width, or the count of an analogue-to-digital converter.
//!
//! Both are 16 bits wide and neither is ever mistaken for the other, nor for a deflection.

use core::fmt;
use core::marker::PhantomData;

/// A pulse width in sixteenths of a microsecond, 0 to 4095.94 us.
///
/// Finer than any servo can tell, and twice as coarse as a deflection of a 1000..2000 us pulse, so that a pulse comes
/// back as it went in. A timer that counts in 1, 1/2, 1/4 .. 1/16 us needs a shift and no more.
///
/// ```
/// use handback::Pulse;
/// assert_eq!(Pulse::from_bits(2 * 8), Pulse::from_micros(1)); // two ticks of a 2 MHz timer
/// assert_eq!(Pulse::from_bits(24_001).to_string(), "1500.06 us");
/// ```
pub type Pulse = Reading<Micros>;

/// A count of an analogue-to-digital converter of up to 16 bits, as it comes.
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

/// What a channel can be read in: [`Micros`] or [`Counts`], and nothing else.
pub trait Unit: Copy + Eq + fmt::Debug + sealed::Sealed {
    /// Its name, as messages say it.
    const NAME: &'static str;
    /// How many bits of a reading are a fraction of the unit.
    const FRACTION_BITS: u32;
    /// The shortest way from centre to an end that is taken for a stick's travel, in steps of a reading. Own choice: a
    /// stick that nobody moved while its ends were learnt has noise for its travel, and would fly the craft with it.
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
    /// The least reading: what a dead input gives.
    pub const MIN: Self = Self::from_bits(0);
    /// The greatest reading, which also stands for everything beyond it.
    pub const MAX: Self = Self::from_bits(u16::MAX);

    /// A reading of so many sixteenths of a microsecond, or so many counts.
    pub const fn from_bits(bits: u16) -> Self {
        Self { bits, unit: PhantomData }
    }

    /// This reading in sixteenths of a microsecond, or in counts.
    pub const fn to_bits(self) -> u16 {
        self.bits
    }
}

impl Pulse {
    /// A pulse of so many whole microseconds; from 4096 us on it saturates, and no set-up takes that for a stick.
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

    /// This pulse in microseconds, to the nearest, halves up.
    ///
    /// ```
    /// use handback::Pulse;
    /// assert_eq!([23_999, 24_007, 24_008].map(|bits| Pulse::from_bits(bits).to_micros()), [1500, 1500, 1501]);
    /// ```
    pub const fn to_micros(self) -> u16 {
        // `MAX` is nearest to 4096 and needs the seventeenth bit on the way.
        #[allow(clippy::cast_possible_truncation)]
        let micros = ((self.bits as u32).wrapping_add(8) >> 4) as u16;
        micros
    }
}

impl<U: Unit> Reading<U> {
    /// For people: whole units and, where a unit has steps, the nearest hundredth.
    pub(crate) const fn parts(self) -> (u16, Option<u16>) {
        if U::FRACTION_BITS == 0 {
            return (self.bits, None);
        }
        let steps = 1u16.wrapping_shl(U::FRACTION_BITS);
        // Of 16 steps at most 15 * 100 + 8, which is less than a whole.
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
