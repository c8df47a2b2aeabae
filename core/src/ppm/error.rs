//! The error of a refused set-up of a decoder or an encoder: the field, the value and the accepted values.

use core::fmt;

use crate::message::Message;
use crate::quantity::{Duration, Pulse};

/// The first fault of a set-up.
///
/// `Display` and [`message`](Self::message) name the field, the value and the accepted values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum PpmError {
    /// `channels` is below 4, or beyond the room of the decoder or encoder.
    Channels {
        /// The set-up's `channels`.
        channels: u8,
        /// The `N` of the decoder or encoder.
        room: u8,
    },
    /// The width of a separator is 0.
    Zero {
        /// Which field.
        field: Field,
    },
    /// `widest` is below `narrowest`.
    Widest {
        /// The set-up's `widest`.
        widest: Duration,
        /// Its `narrowest`.
        narrowest: Duration,
    },
    /// The separator is not below `shortest`: it would not end within the shortest channel.
    Separator {
        /// Which field.
        field: Field,
        /// Its value.
        separator: Duration,
        /// The set-up's `shortest`.
        shortest: Pulse,
    },
    /// `longest` is below `shortest`.
    Longest {
        /// The set-up's `longest`.
        longest: Pulse,
        /// Its `shortest`.
        shortest: Pulse,
    },
    /// `gap` is not above `longest`: it could be mistaken for a channel.
    Gap {
        /// The set-up's `gap`.
        gap: Duration,
        /// Its `longest`.
        longest: Pulse,
    },
    /// `silence` is not above `gap`, for which it could be mistaken, or is beyond half the range of the clock.
    Silence {
        /// The set-up's `silence`.
        silence: Duration,
        /// Its `gap`.
        gap: Duration,
    },
    /// `frame_length` is too short for all channels at their longest.
    FrameLength {
        /// The set-up's `frame_length`.
        frame_length: Duration,
        /// How many channels the encoder has.
        channels: u8,
        /// The shortest accepted frame.
        needed: Duration,
    },
}

/// The fields of [`DecoderSetup`](super::DecoderSetup) and [`EncoderSetup`](super::EncoderSetup) that can be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[allow(missing_docs)] // each variant is the field of that name
#[non_exhaustive]
pub enum Field {
    Channels,
    Narrowest,
    Widest,
    Separator,
    Longest,
    Gap,
    Silence,
    FrameLength,
}

impl Field {
    /// The name of the field.
    ///
    /// ```
    /// assert_eq!(handback::ppm::Field::Narrowest.name(), "narrowest");
    /// ```
    pub const fn name(self) -> &'static str {
        match self {
            Self::Channels => "channels",
            Self::Narrowest => "narrowest",
            Self::Widest => "widest",
            Self::Separator => "separator",
            Self::Longest => "longest",
            Self::Gap => "gap",
            Self::Silence => "silence",
            Self::FrameLength => "frame_length",
        }
    }
}

impl PpmError {
    /// The field that is wrong.
    ///
    /// ```
    /// use handback::ppm::{Encoder, EncoderSetup, Field, Level};
    /// let why = EncoderSetup::new(Level::High).check::<16>().unwrap_err();
    /// assert_eq!(why.field(), Field::FrameLength);
    /// ```
    pub const fn field(&self) -> Field {
        match *self {
            Self::Zero { field } | Self::Separator { field, .. } => field,
            Self::Channels { .. } => Field::Channels,
            Self::Widest { .. } => Field::Widest,
            Self::Longest { .. } => Field::Longest,
            Self::Gap { .. } => Field::Gap,
            Self::Silence { .. } => Field::Silence,
            Self::FrameLength { .. } => Field::FrameLength,
        }
    }

    /// The error in words: field, value and accepted values. For a set-up in a `const`, the compiler prints it.
    ///
    /// ```
    /// use handback::ppm::{Encoder, EncoderSetup, Level};
    /// let why = EncoderSetup::new(Level::High).check::<16>().unwrap_err();
    /// assert_eq!(
    ///     why.message().as_str(),
    ///     "frame_length is 22500 us: 16 channels at their longest, a separator and the gap need 39300 us"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let is = Message::new().text(self.field().name()).text(" is ");
        match *self {
            Self::Channels { channels, room } => {
                is.number(channels as u32).text(": it must be 4 to ").number(room as u32)
            }
            Self::Zero { .. } => is.text("0: a separator must have a width"),
            Self::Widest { widest, narrowest } => {
                us(us(is, widest).text(": it must be narrowest, "), narrowest).text(", or more")
            }
            Self::Separator { separator, shortest, .. } => {
                us(is, separator).text(": it must be below shortest, ").number(shortest.to_micros() as u32).text(" us")
            }
            Self::Longest { longest, shortest } => {
                let must = is.number(longest.to_micros() as u32).text(" us: it must be shortest, ");
                must.number(shortest.to_micros() as u32).text(" us, or more")
            }
            Self::Gap { gap, longest } => {
                us(is, gap).text(": it must be above longest, ").number(longest.to_micros() as u32).text(" us")
            }
            Self::Silence { silence, gap } => {
                let must = us(us(is, silence).text(": it must be above gap, "), gap);
                must.text(", and at most half the range of the clock, 2147483648 us")
            }
            Self::FrameLength { frame_length, channels, needed } => {
                let all = us(is, frame_length).text(": ").number(channels as u32);
                us(all.text(" channels at their longest, a separator and the gap need "), needed)
            }
        }
    }
}

const fn us(message: Message, duration: Duration) -> Message {
    message.number(duration.as_ticks()).text(" us")
}

crate::message::displayed!(PpmError);
