//! The error of refused channels: the axis, the field, the value and the accepted values.

use core::fmt;

use crate::message::Message;
use crate::quantity::{Deflection, Reading, Unit};

/// The first fault of a set-up of channels.
///
/// `Display` and [`message`](Self::message) name the axis, the field, the value and the accepted values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize), serde(bound = ""))]
#[non_exhaustive]
pub enum ChannelError<U> {
    /// No axis has a channel.
    NoChannel,
    /// The axis has a channel past the last one.
    PastLast {
        /// The axis.
        axis: u8,
        /// The `number` of its channel.
        number: u8,
        /// How many channels there are.
        channels: u8,
    },
    /// The axis has the channel of another axis.
    Twice {
        /// The axis.
        axis: u8,
        /// The `number` of its channel.
        number: u8,
        /// The lower axis that has the same channel.
        other: u8,
    },
    /// `low` is less than 100 us or 32 counts below `centre`: too short a travel for a stick.
    Low {
        /// The axis.
        axis: u8,
        /// Its `low`.
        low: Reading<U>,
        /// Its `centre`.
        centre: Reading<U>,
    },
    /// `high` is less than 100 us or 32 counts above `centre`: too short a travel for a stick.
    High {
        /// The axis.
        axis: u8,
        /// Its `high`.
        high: Reading<U>,
        /// Its `centre`.
        centre: Reading<U>,
    },
    /// `lowest` is 0 or above `low`.
    Lowest {
        /// The axis.
        axis: u8,
        /// Its `lowest`.
        lowest: Reading<U>,
        /// Its `low`.
        low: Reading<U>,
    },
    /// `highest` is [`Reading::MAX`], or below `high`.
    Highest {
        /// The axis.
        axis: u8,
        /// Its `highest`.
        highest: Reading<U>,
        /// Its `high`.
        high: Reading<U>,
    },
    /// `trim` is further from 0 than the largest trim.
    Trim {
        /// The axis.
        axis: u8,
        /// Its `trim`.
        trim: Deflection,
        /// The largest trim.
        most: Deflection,
    },
    /// `rate` is not above 0, or above 100 points.
    Rate {
        /// The axis.
        axis: u8,
        /// Its `rate`.
        rate: Deflection,
    },
    /// `limit_below` is not above 0, or above the largest limit.
    LimitBelow {
        /// The axis.
        axis: u8,
        /// Its `limit_below`.
        limit: Deflection,
        /// The largest limit.
        most: Deflection,
    },
    /// `limit_above` is not above 0, or above the largest limit.
    LimitAbove {
        /// The axis.
        axis: u8,
        /// Its `limit_above`.
        limit: Deflection,
        /// The largest limit.
        most: Deflection,
    },
}

impl<U: Unit> ChannelError<U> {
    /// The axis whose channel is wrong; `None` if no axis has a channel.
    ///
    /// ```
    /// use handback::{ChannelError, Deflection, Micros};
    /// let why = ChannelError::<Micros>::Rate { axis: 3, rate: Deflection::CENTRE };
    /// assert_eq!(why.axis(), Some(3));
    /// ```
    pub const fn axis(&self) -> Option<u8> {
        match *self {
            Self::NoChannel => None,
            Self::PastLast { axis, .. }
            | Self::Twice { axis, .. }
            | Self::Low { axis, .. }
            | Self::High { axis, .. }
            | Self::Lowest { axis, .. }
            | Self::Highest { axis, .. }
            | Self::Trim { axis, .. }
            | Self::Rate { axis, .. }
            | Self::LimitBelow { axis, .. }
            | Self::LimitAbove { axis, .. } => Some(axis),
        }
    }

    /// The field that is wrong.
    ///
    /// ```
    /// use handback::{ChannelError, Deflection, Micros};
    /// let why = ChannelError::<Micros>::Rate { axis: 3, rate: Deflection::CENTRE };
    /// assert_eq!(why.field(), "rate");
    /// ```
    pub const fn field(&self) -> &'static str {
        match self {
            Self::NoChannel => "axes",
            Self::PastLast { .. } | Self::Twice { .. } => "number",
            Self::Low { .. } => "low",
            Self::High { .. } => "high",
            Self::Lowest { .. } => "lowest",
            Self::Highest { .. } => "highest",
            Self::Trim { .. } => "trim",
            Self::Rate { .. } => "rate",
            Self::LimitBelow { .. } => "limit_below",
            Self::LimitAbove { .. } => "limit_above",
        }
    }

    /// The error in words: axis, field, value and accepted values. For channels in a `const`, the compiler prints it.
    ///
    /// ```
    /// use handback::{Channel, Channels, Pulse};
    /// let mut short = Channel::pulse(2);
    /// short.low = Pulse::from_micros(1450);
    /// assert_eq!(
    ///     Channels::<_, 1, 8>::new([short]).check().unwrap_err().message().as_str(),
    ///     "axis 0: low is 1450.00 us: it must be below centre, 1500.00 us, by 100.00 us or more"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let start = Message::of_axis(self.axis());
        let is = start.text(self.field()).text(" is ");
        let by: Reading<U> = Reading::from_bits(U::LEAST_TRAVEL);
        match *self {
            Self::NoChannel => {
                start.text(self.field()).text(" are without channels: at least one axis must have its channel")
            }
            Self::PastLast { number, channels, .. } => {
                let only = is.number(number as u32).text(": there are only ").number(channels as u32);
                only.text(" channels, counted from 0")
            }
            Self::Twice { number, other, .. } => {
                let has = is.number(number as u32).text(": axis ").number(other as u32);
                has.text(" has that channel, each axis needs its own")
            }
            Self::Low { low, centre, .. } => {
                let below = is.reading(low).text(": it must be below centre, ").reading(centre);
                below.text(", by ").reading(by).text(" or more")
            }
            Self::High { high, centre, .. } => {
                let above = is.reading(high).text(": it must be above centre, ").reading(centre);
                above.text(", by ").reading(by).text(" or more")
            }
            Self::Lowest { lowest, low, .. } => {
                is.reading(lowest).text(": it must be above 0 and not above low, ").reading(low)
            }
            Self::Highest { highest, high, .. } => {
                let must = is.reading(highest).text(": it must be below ").reading(Reading::<U>::MAX);
                must.text(" and not below high, ").reading(high)
            }
            Self::Trim { trim, most, .. } => {
                is.points(trim).text(": it must be within ").points(most).text(" either side of centre")
            }
            Self::Rate { rate, .. } => is.points(rate).text(": it must be above 0 and at most 100 points"),
            Self::LimitBelow { limit, most, .. } | Self::LimitAbove { limit, most, .. } => {
                is.points(limit).text(": it must be above 0 and at most ").points(most)
            }
        }
    }
}

crate::message::displayed!(ChannelError<U>, U);
