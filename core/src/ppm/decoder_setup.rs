//! The set-up of a decoder: what it accepts as a train.

use crate::quantity::{Duration, Pulse};

use super::error::{Field, PpmError};
use super::{Level, count};

/// What a decoder accepts as a train. Plain data, made by [`new`](Self::new). Assign the fields that differ, then
/// [`check`](Self::check) makes the decoder.
///
/// ```
/// use handback::Duration;
/// use handback::ppm::{DecoderSetup, Level};
/// let mut steady = DecoderSetup::new(Level::Low);
/// steady.jitter = Duration::from_micros(5);
/// assert!(steady.check::<6>().is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct DecoderSetup {
    /// The level of the line during a separator.
    pub separators: Level,
    /// The number of channels of the train: 4 or more, and at most the `N` for which the decoder has room. Default
    /// `None`: `N`. So one firmware serves transmitters of any number of channels, by a setting.
    pub channels: Option<u8>,
    /// The narrowest separator; not 0. Default 200 us: for separators of 300 to 400 us, with a margin of 100 us.
    pub narrowest: Duration,
    /// The widest separator; `narrowest` or more, and less than `shortest`. Default 500 us.
    pub widest: Duration,
    /// How much the separators of one frame may differ. Default 20 us.
    ///
    /// A single displaced edge can falsify a channel by at most `jitter`: the width of its separator shows any larger
    /// displacement.
    pub jitter: Duration,
    /// The least width of a channel, to the nearest microsecond. Default 700 us.
    pub shortest: Pulse,
    /// The greatest width of a channel, to the nearest microsecond; `shortest` or more. Default 2300 us.
    pub longest: Pulse,
    /// The shortest rest of the line between two frames; more than `longest`. Default 2.5 ms: for a gap of at least
    /// 3 ms, with a margin of 0.5 ms. A frame is complete when the line has rested this long after its last separator.
    pub gap: Duration,
    /// The train is gone if there is no edge for longer than this; more than `gap`, at most half the clock's range.
    /// Default 50 ms. The gap of a train of few channels can be nearly as long as its frame.
    pub silence: Duration,
}

/// Half the range of the clock, in microseconds.
const LONGEST_SILENCE: u32 = 1 << 31;

impl DecoderSetup {
    /// A set-up with this level of the separators, and the default of every other field.
    pub const fn new(separators: Level) -> Self {
        Self {
            separators,
            channels: None,
            narrowest: Duration::from_ticks(200),
            widest: Duration::from_ticks(500),
            jitter: Duration::from_ticks(20),
            shortest: Pulse::from_micros(700),
            longest: Pulse::from_micros(2_300),
            gap: Duration::from_ticks(2_500),
            silence: Duration::from_ticks(50_000),
        }
    }

    pub(super) const fn check_fields(&self, room: u8) -> Result<(), PpmError> {
        if let Err(why) = count::check(self.channels, room) {
            return Err(why);
        }
        if self.narrowest.is_zero() {
            return Err(PpmError::Zero { field: Field::Narrowest });
        }
        if self.widest.as_ticks() < self.narrowest.as_ticks() {
            return Err(PpmError::Widest { widest: self.widest, narrowest: self.narrowest });
        }
        if let Err(why) = check_widths(Field::Widest, self.widest, self.shortest, self.longest, self.gap) {
            return Err(why);
        }
        if self.silence.as_ticks() <= self.gap.as_ticks() || self.silence.as_ticks() > LONGEST_SILENCE {
            return Err(PpmError::Silence { silence: self.silence, gap: self.gap });
        }
        Ok(())
    }
}

/// Checks what a decoder and an encoder have in common: a separator ends within the shortest channel, and the gap is
/// longer than the longest channel.
pub(super) const fn check_widths(
    field: Field,
    separator: Duration,
    shortest: Pulse,
    longest: Pulse,
    gap: Duration,
) -> Result<(), PpmError> {
    if separator.as_ticks() >= shortest.to_micros() as u32 {
        return Err(PpmError::Separator { field, separator, shortest });
    }
    if longest.to_micros() < shortest.to_micros() {
        return Err(PpmError::Longest { longest, shortest });
    }
    if gap.as_ticks() <= longest.to_micros() as u32 {
        return Err(PpmError::Gap { gap, longest });
    }
    Ok(())
}
