//! The check of channels, and the slopes, which are computed in advance so that no frame needs a division (N4).

use crate::channel::line::{Line, Side};
use crate::channel::{Channel, ChannelError, Channels, CheckedChannels};
use crate::quantity::{Deflection, Unit};

/// The largest trim, 30 points. Own choice: about twice the 15.6 points that were found in a recording (the median of
/// channel 4 in `host-tests/data/fixedwing_channels_4hz.csv`).
const LARGEST_TRIM: Deflection = Deflection::from_points(30);

/// The largest limit, 150 points: the default `plausible`. Its sum with the largest trim is a valid deflection.
const LARGEST_LIMIT: Deflection = Deflection::from_points(150);

impl<U: Unit, const N: usize, const M: usize> Channels<U, N, M> {
    /// Checks the channels, in `const` too.
    ///
    /// # Errors
    /// The first fault, with the axis, the field and the value.
    ///
    /// ```
    /// use handback::{Channel, ChannelError, Channels};
    /// let channels = Channels::<_, 2, 8>::new([Channel::pulse(5), Channel::pulse(8)]);
    /// let why = channels.check().unwrap_err();
    /// assert_eq!(why, ChannelError::PastLast { axis: 1, number: 8, channels: 8 });
    /// assert_eq!(why.to_string(), "axis 1: number is 8: there are only 8 channels, counted from 0");
    /// ```
    pub const fn check(self) -> Result<CheckedChannels<U, N, M>, ChannelError<U>> {
        const { assert!(N >= 1 && N <= 16, "a frame has 1 to 16 axes") };
        const { assert!(M >= 1 && M <= 16, "there are 1 to 16 channels") };
        // The axis of each channel.
        let mut owners: [Option<u8>; M] = [None; M];
        let mut lines: [Option<Line>; N] = [None; N];
        let mut to = lines.as_mut_slice();
        let mut from = self.axes.as_slice();
        let mut axis: u8 = 0;
        let mut any = false;
        while let ([line, others @ ..], [channel, tail @ ..]) = (to, from) {
            if let Some(channel) = channel {
                if let Err(why) = take(axis, channel.number, &mut owners) {
                    return Err(why);
                }
                if let Err(why) = channel.check(axis) {
                    return Err(why);
                }
                *line = Some(channel.line());
                any = true;
            }
            to = others;
            from = tail;
            axis = axis.saturating_add(1);
        }
        if any { Ok(CheckedChannels { channels: self, lines }) } else { Err(ChannelError::NoChannel) }
    }
}

/// Assigns a channel to an axis; the channel must exist and be free.
const fn take<U: Unit>(axis: u8, number: u8, owners: &mut [Option<u8>]) -> Result<(), ChannelError<U>> {
    #[allow(clippy::cast_possible_truncation)] // at most 16
    let channels = owners.len() as u8;
    let Some((_, [owner, ..])) = owners.split_at_mut_checked(number as usize) else {
        return Err(ChannelError::PastLast { axis, number, channels });
    };
    if let Some(other) = *owner {
        return Err(ChannelError::Twice { axis, number, other });
    }
    *owner = Some(axis);
    Ok(())
}

impl<U: Unit> Channel<U> {
    const fn check(&self, axis: u8) -> Result<(), ChannelError<U>> {
        let Self { low, centre, high, lowest, highest, trim, rate, .. } = *self;
        if centre.to_bits().saturating_sub(low.to_bits()) < U::LEAST_TRAVEL {
            return Err(ChannelError::Low { axis, low, centre });
        }
        if high.to_bits().saturating_sub(centre.to_bits()) < U::LEAST_TRAVEL {
            return Err(ChannelError::High { axis, high, centre });
        }
        if lowest.to_bits() == 0 || lowest.to_bits() > low.to_bits() {
            return Err(ChannelError::Lowest { axis, lowest, low });
        }
        if highest.to_bits() == u16::MAX || highest.to_bits() < high.to_bits() {
            return Err(ChannelError::Highest { axis, highest, high });
        }
        if trim.magnitude() > LARGEST_TRIM.magnitude() {
            return Err(ChannelError::Trim { axis, trim, most: LARGEST_TRIM });
        }
        if rate.to_bits() <= 0 || rate.to_bits() > Deflection::FULL.to_bits() {
            return Err(ChannelError::Rate { axis, rate });
        }
        if let Some(limit) = self.limit_below
            && !is_limit(limit)
        {
            return Err(ChannelError::LimitBelow { axis, limit, most: LARGEST_LIMIT });
        }
        if let Some(limit) = self.limit_above
            && !is_limit(limit)
        {
            return Err(ChannelError::LimitAbove { axis, limit, most: LARGEST_LIMIT });
        }
        Ok(())
    }

    /// The lines of a channel that passed its check.
    const fn line(&self) -> Line {
        let [low, centre, high] = [self.low.to_bits(), self.centre.to_bits(), self.high.to_bits()];
        let rate = self.rate.magnitude();
        Line {
            number: self.number,
            reversed: self.reversed,
            centre,
            low: Side::new(centre.abs_diff(low), centre.abs_diff(self.lowest.to_bits()), rate),
            high: Side::new(high.abs_diff(centre), self.highest.to_bits().abs_diff(centre), rate),
            rate,
            limit_below: at_most(self.limit_below),
            limit_above: at_most(self.limit_above),
            trim: self.trim.to_bits(),
        }
    }
}

const fn is_limit(limit: Deflection) -> bool {
    limit.to_bits() > 0 && limit.to_bits() <= LARGEST_LIMIT.to_bits()
}

/// The limit in units; without a limit, the largest deflection.
const fn at_most(limit: Option<Deflection>) -> u16 {
    match limit {
        Some(limit) => limit.magnitude(),
        None => Deflection::MAX.magnitude(),
    }
}

impl Side {
    const fn new(travel: u16, range: u16, rate: u16) -> Self {
        // The furthest reading that is less than two travels away. Its deflection rounds to less than 2.0: one step of
        // a reading is 2^14 / travel units, more than half a unit where two travels fit into the range of readings.
        let under_two = travel.saturating_mul(2).saturating_sub(1);
        let reach = if range < under_two { range } else { under_two };
        let slope = match ((rate as u32) << 17).checked_div(travel as u32) {
            Some(slope) => slope,
            None => 0, // the check refuses a travel of 0
        };
        Self { travel, reach, slope }
    }
}

impl<U: Unit, const N: usize, const M: usize> TryFrom<Channels<U, N, M>> for CheckedChannels<U, N, M> {
    type Error = ChannelError<U>;

    fn try_from(channels: Channels<U, N, M>) -> Result<Self, ChannelError<U>> {
        channels.check()
    }
}

impl<U, const N: usize, const M: usize> From<CheckedChannels<U, N, M>> for Channels<U, N, M> {
    fn from(checked: CheckedChannels<U, N, M>) -> Self {
        checked.channels
    }
}
