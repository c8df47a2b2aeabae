//! Messages built without allocation, in `const` too, so that the compiler can print why a set-up is refused.

use core::fmt;

use crate::quantity::{Deflection, Reading, Unit};

/// Why a set-up was refused, in words.
///
/// ```
/// let why = handback::PolicyError::Confirm { axis: 2 };
/// assert_eq!(why.message().as_str(), "axis 2: confirm is 0: it must be 1 or more");
/// ```
#[derive(Clone, Copy)]
pub struct Message {
    bytes: [u8; Self::LONGEST],
    len: usize,
}

impl Message {
    /// The capacity in bytes: the longest message with its longest numbers, and the name of the set-up before it.
    const LONGEST: usize = 176;

    /// The beginning of a message: "axis 2: " if an axis is wrong, else empty.
    pub(crate) const fn of_axis(axis: Option<u8>) -> Self {
        match axis {
            Some(axis) => Self::new().text("axis ").number(axis as u32).text(": "),
            None => Self::new(),
        }
    }

    /// An empty message, also for the errors of other set-ups that contain set-ups of this crate.
    pub const fn new() -> Self {
        Self { bytes: [0; Self::LONGEST], len: 0 }
    }

    /// The text of the message.
    pub const fn as_str(&self) -> &str {
        match self.bytes.split_at_checked(self.len) {
            Some((said, _)) => match core::str::from_utf8(said) {
                Ok(text) => text,
                // Reached only if the end of the buffer cut a character of several bytes.
                Err(_) => "an error is too long to be told",
            },
            None => "",
        }
    }

    /// Appends text. The part that does not fit into the buffer is dropped.
    #[must_use]
    pub const fn text(mut self, text: &str) -> Self {
        let mut left = text.as_bytes();
        while let [byte, rest @ ..] = left {
            if let Some((_, [free, ..])) = self.bytes.split_at_mut_checked(self.len) {
                *free = *byte;
                self.len = self.len.saturating_add(1);
            }
            left = rest;
        }
        self
    }

    /// Appends a whole number, in decimal.
    #[must_use]
    pub const fn number(self, number: u32) -> Self {
        let before = if number < 10 { self } else { self.number(number / 10) };
        before.text(match number % 10 {
            0 => "0",
            1 => "1",
            2 => "2",
            3 => "3",
            4 => "4",
            5 => "5",
            6 => "6",
            7 => "7",
            8 => "8",
            _ => "9",
        })
    }

    /// Appends a deflection in points, with two decimals.
    pub(crate) const fn points(self, deflection: Deflection) -> Self {
        let sign = if deflection.to_bits() < 0 { "-" } else { "" };
        self.text(sign).distance(deflection.magnitude())
    }

    /// Appends a distance in points, with two decimals; `units` are 2^-14 of full travel.
    pub(crate) const fn distance(self, units: u16) -> Self {
        let centipoints = (units as u32).saturating_mul(625).saturating_add(512) / 1024;
        let tenth = centipoints / 10 % 10;
        self.number(centipoints / 100).text(".").number(tenth).number(centipoints % 10).text(" points")
    }

    /// Appends a reading with its unit, with two decimals if readings have fractions of the unit.
    pub(crate) const fn reading<U: Unit>(self, reading: Reading<U>) -> Self {
        let (whole, part) = reading.parts();
        let whole = self.number(whole as u32);
        let all = match part {
            Some(part) => whole.text(".").number(part as u32 / 10).number(part as u32 % 10),
            None => whole,
        };
        all.text(" ").text(U::NAME)
    }
}

impl Default for Message {
    fn default() -> Self {
        Self::new()
    }
}

impl fmt::Display for Message {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for Message {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

/// Implements `Display` and `Error` for a type that has a `message`.
macro_rules! displayed {
    ($error:ty $(, $unit:ident)?) => {
        impl $(<$unit: crate::quantity::Unit>)? fmt::Display for $error {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.message().as_str())
            }
        }

        impl $(<$unit: crate::quantity::Unit>)? core::error::Error for $error {}
    };
}
pub(crate) use displayed;

/// Checks a set-up at compile time and gives the value of `$setup.check()`. A set-up that does not pass does not
/// compile, and the compiler prints what is wrong.
///
/// It accepts every set-up whose `check` is a `const fn`: [`Policy`](crate::Policy), [`Channels`](crate::Channels),
/// [`DecoderSetup`](crate::ppm::DecoderSetup), [`EncoderSetup`](crate::ppm::EncoderSetup),
/// [`CueRules`](crate::cue::CueRules), and set-ups of other crates whose errors have a [`Message`].
///
/// ```
/// use handback::ppm::{Decoder, DecoderSetup, Level};
/// static STUDENT: Decoder<8> = handback::checked!(DecoderSetup::new(Level::High));
/// ```
#[macro_export]
macro_rules! checked {
    ($setup:expr) => {
        const {
            match ($setup).check() {
                ::core::result::Result::Ok(checked) => checked,
                ::core::result::Result::Err(why) => ::core::panic!("{}", why.message().as_str()),
            }
        }
    };
}

#[cfg(feature = "defmt")]
impl defmt::Format for Message {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "{=str}", self.as_str());
    }
}
