//! Converts the channels of a pulse train, or of an analogue-to-digital converter, to the axes of a frame, and back.
//!
//! [`Channels`] are plain data with defaults. There is one set-up for each side: the instructor's transmitter, the
//! student's transmitter, the craft. [`Channels::check`] turns them into
//! [`CheckedChannels`](crate::CheckedChannels), in `const` too:
//!
//! ```
//! use handback::{Channel, Channels, CheckedChannels, Deflection, Micros, Pulse};
//!
//! static STUDENT: CheckedChannels<Micros, 4, 8> = handback::checked!({
//!     // Aileron, elevator, throttle, rudder.
//!     let mut axes = [Channel::pulse(1), Channel::pulse(2), Channel::pulse(0), Channel::pulse(3)];
//!     axes[1].reversed = true;
//!     axes[2].low = Pulse::from_micros(1100);
//!     axes[3].rate = Deflection::from_points(60); // for a beginner
//!     Channels::new(axes)
//! });
//! let train = [1100, 1600, 1400, 2000, 1500, 1500, 1500, 1500].map(Pulse::from_micros);
//! let frame = STUDENT.frame(&train);
//! let points = frame.axes().map(|axis| axis.to_string());
//! assert_eq!(points, ["20.00 points", "20.00 points", "-100.00 points", "60.00 points"]);
//! ```
//!
//! A low end above the centre does not compile:
//!
//! ```compile_fail,E0080
//! use handback::{Channel, Channels, CheckedChannels, Micros, Pulse};
//! static STUDENT: CheckedChannels<Micros, 1, 8> = handback::checked!({
//!     let mut throttle = Channel::pulse(0);
//!     throttle.low = Pulse::from_micros(1600);
//!     Channels::new([throttle])
//! });
//! ```
//!
//! # From a reading to a deflection
//! With the reading `r` of an axis, `c` its `centre` and `e` its end on the side of `r`, in this order:
//!
//! 1. Range: a reading outside `lowest..=highest` becomes [`Deflection::OUT_OF_RANGE`], and steps 2 to 5 do not apply.
//!    So does a reading two travels |e - c| or more from `c`, where the range of deflections ends.
//! 2. Travel: `rate` * |r - c| / |e - c| in units of 2^-14. The exact value is rounded once, to nearest, halves away
//!    from zero.
//! 3. Direction: a reading below centre is negative; where the channel is `reversed`, a reading above centre is.
//! 4. Limit: a value below -`limit_below` becomes -`limit_below`; a value above `limit_above` becomes `limit_above`.
//! 5. Trim: `trim` is added. A sum outside the range of deflections becomes `OUT_OF_RANGE`.
//!
//! Range comes before rate and limits, so that they cannot turn an impossible reading into a valid deflection: a pulse
//! of 3000 us is no beginner's full throw. `OUT_OF_RANGE` is beyond the `plausible` of every policy; where the axis
//! matters, the engine treats the frame as bad and reports it. Apart from the limits nothing saturates. (A reading in
//! range can be beyond `plausible`, and rate and limits can bring it back within. Set `lowest` and `highest` no wider
//! than the readings of a stick that you believe.)
//!
//! # From a deflection to a reading
//! r = c plus or minus |d - `trim`| * |e - c|, with the direction undone, rounded to nearest, halves away from centre.
//! A reading that would be out of range becomes the last one in range, like a servo at its end stop. Rate and limits
//! belong to the student and are not undone. Without them, a pulse in range comes back within 1 us.
//!
//! # Two transmitters, one centre
//! The instructor has trimmed the craft: with hands off, the instructor's sticks read a few points off centre, and the
//! craft flies level there. The student's transmitter rests at other readings. Without a correction the output would
//! jump by the difference at every handover. So the *student's* stick at rest is given the deflection of the
//! *instructor's* stick at rest. The student's `centre` is the learnt rest of the student's stick. The student's `trim`
//! is the deflection of the instructor's stick at rest ([`meeting`](Channels::meeting)). Both sticks at rest then have
//! the same deflection, to the unit. The student's rate and limits work about that point.
//!
//! The correction applies to the student's sprung axes, between the reading and the engine. It never applies to the
//! instructor: after a takeover the craft receives what the instructor's transmitter sends. A stick that stays where it
//! is put has no rest to correct; use a gate or a fade there (H3, H4).

mod check;
mod checked;
mod error;
mod line;

pub use checked::CheckedChannels;
pub use error::ChannelError;

use crate::quantity::{AxisSet, Counts, Deflection, Frame, Micros, Reading};

/// The channels of `N` axes among `M` channels, `N` and `M` from 1 to 16, all read in one unit. Plain data, to be
/// [checked](Self::check).
///
/// An axis without a channel (`None`) reads as [`Deflection::OUT_OF_RANGE`] and is not written. Use it for a student's
/// transmitter that has fewer channels than the craft; the policy must not share the axis. On the instructor's side
/// it makes every frame bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields, bound = ""))]
pub struct Channels<U, const N: usize, const M: usize> {
    /// The channel of each axis, axis 0 first; at least one, and no channel twice.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub axes: [Option<Channel<U>>; N],
}

/// The channel of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields, bound = ""))]
#[non_exhaustive]
pub struct Channel<U> {
    /// The number of the channel, from 0.
    pub number: u8,
    /// Whether `low` is +100 points and `high` -100 points, instead of the opposite. Default false.
    pub reversed: bool,
    /// The reading at one end of the stick's nominal travel, at least 100 us or 32 counts below `centre`.
    pub low: Reading<U>,
    /// The reading at centre: nominal, or learnt from the stick at rest.
    pub centre: Reading<U>,
    /// The reading at the other end, at least 100 us or 32 counts above `centre`. The two travels need not be equal.
    pub high: Reading<U>,
    /// The least reading that this stick can give, above 0, at most `low`. Less is a fault: a cable out, a broken wire.
    pub lowest: Reading<U>,
    /// The greatest reading that this stick can give, at least `high`, below [`Reading::MAX`].
    pub highest: Reading<U>,
    /// The deflection of the stick at `centre`, within 30 points either side; on the student's side, the instructor's
    /// rest. Default 0.
    pub trim: Deflection,
    /// The deflection at the ends of the travel, above 0 and up to 100 points, the default. For the student's side
    /// only: the instructor takes over by moving a stick, and needs all of its travel.
    ///
    /// The rate works about the centre. A throttle needs all of its travel: at 60 points the student's motor would run
    /// at a fifth of its power with the stick all the way down.
    pub rate: Deflection,
    /// The largest distance below `trim`, above 0 and up to 150 points; `None`, the default: no limit. For the
    /// student's side only. Not for a throttle: it would leave the student's motor running.
    ///
    /// If a limit and the trim together are beyond the policy's `plausible`, a full throw of the student's stick makes
    /// the frame bad.
    pub limit_below: Option<Deflection>,
    /// The largest distance above `trim`, with the same range and default. For the student's side only. On a throttle
    /// it is the most power that the student has.
    pub limit_above: Option<Deflection>,
}

impl Channel<Micros> {
    /// A channel with 1000 us at the low end, 1500 us at centre and 2000 us at the high end. Readings from 750 us to
    /// 2250 us, 150 points either side, are in range. Common practice, no source.
    ///
    /// ```
    /// use handback::{Channel, Pulse};
    /// assert_eq!(Channel::pulse(3).centre, Pulse::from_micros(1500));
    /// ```
    pub const fn pulse(number: u8) -> Self {
        Self {
            number,
            reversed: false,
            low: Reading::from_micros(1000),
            centre: Reading::from_micros(1500),
            high: Reading::from_micros(2000),
            lowest: Reading::from_micros(750),
            highest: Reading::from_micros(2250),
            trim: Deflection::CENTRE,
            rate: Deflection::FULL,
            limit_below: None,
            limit_above: None,
        }
    }
}

impl Channel<Counts> {
    /// A channel with these counts of a potentiometer at the low end, at centre and at the high end, as learnt from the
    /// stick. The counts have no default, since a wrong guess can hurt. The range reaches an eighth of the travel past
    /// either end, but never to 0 or `full_scale` (4095 for 12 bits), the counts of a broken wire.
    ///
    /// A stick that reaches 0 or `full_scale` cannot be distinguished from a broken wire; the check refuses it. A
    /// resistor on either side of the potentiometer keeps the stick away from both. A converter can also read noise if
    /// a wire is broken: give the input a resistor to ground.
    ///
    /// ```
    /// use handback::{Channel, Count};
    /// let stick = Channel::counts(0, [400, 2000, 3600], 4095);
    /// assert_eq!((stick.lowest, stick.highest), (Count::from_bits(200), Count::from_bits(3800)));
    /// ```
    pub const fn counts(number: u8, [low, centre, high]: [u16; 3], full_scale: u16) -> Self {
        let lowest = low.saturating_sub(centre.saturating_sub(low) / 8);
        let highest = high.saturating_add(high.saturating_sub(centre) / 8);
        let under_full_scale = full_scale.saturating_sub(1);
        Self {
            number,
            reversed: false,
            low: Reading::from_bits(low),
            centre: Reading::from_bits(centre),
            high: Reading::from_bits(high),
            lowest: Reading::from_bits(if lowest == 0 { 1 } else { lowest }),
            highest: Reading::from_bits(if highest > under_full_scale { under_full_scale } else { highest }),
            trim: Deflection::CENTRE,
            rate: Deflection::FULL,
            limit_below: None,
            limit_above: None,
        }
    }
}

impl<const N: usize, const M: usize> Channels<Micros, N, M> {
    /// Axis 0 on channel 0, axis 1 on channel 1 and so on, each a [`Channel::pulse`], which most receivers accept.
    ///
    /// ```
    /// use handback::{Channels, Frame, Pulse};
    /// let craft = Channels::<_, 4, 6>::pulses().check()?;
    /// assert_eq!(craft.frame(&[Pulse::from_micros(1500); 6]), Frame::CENTRE);
    /// # Ok::<(), handback::ChannelError<handback::Micros>>(())
    /// ```
    pub const fn pulses() -> Self {
        let mut axes = [None; N];
        let mut left = axes.as_mut_slice();
        let mut number = 0;
        while let [axis, rest @ ..] = left {
            *axis = Some(Channel::pulse(number));
            left = rest;
            number = number.saturating_add(1);
        }
        Self { axes }
    }
}

impl<U: Copy, const N: usize, const M: usize> Channels<U, N, M> {
    /// A set-up with a channel for every axis, axis 0 first.
    pub const fn new(channels: [Channel<U>; N]) -> Self {
        let mut axes = [None; N];
        let mut left = axes.as_mut_slice();
        let mut given = channels.as_slice();
        while let ([axis, rest @ ..], [channel, tail @ ..]) = (left, given) {
            *axis = Some(*channel);
            left = rest;
            given = tail;
        }
        Self { axes }
    }

    /// Aligns the student's sprung axes with the instructor's sticks at rest: the `trim` of each axis in `sprung`
    /// becomes the instructor's deflection in `rests`. The other axes keep their `trim`.
    ///
    /// ```
    /// use handback::{AxisSet, Channel, Channels, Pulse};
    /// // Hands off, the instructor's elevator sends 1520 us and the student's 1490 us.
    /// let instructor = Channels::<_, 1, 1>::pulses().check()?;
    /// let rests = instructor.frame(&[Pulse::from_micros(1520)]);
    /// let mut learnt = Channel::pulse(0);
    /// learnt.centre = Pulse::from_micros(1490);
    /// let student = Channels::<_, 1, 1>::new([learnt]).meeting(&rests, AxisSet::first(1)).check()?;
    /// assert_eq!(student.frame(&[Pulse::from_micros(1490)]), rests);
    /// # Ok::<(), handback::ChannelError<handback::Micros>>(())
    /// ```
    #[must_use]
    pub const fn meeting(mut self, rests: &Frame<N>, sprung: AxisSet) -> Self {
        let mut left = self.axes.as_mut_slice();
        let mut given = rests.axes().as_slice();
        let mut number = 0;
        while let ([axis, others @ ..], [rest, tail @ ..]) = (left, given) {
            if let Some(channel) = axis
                && sprung.contains(number)
            {
                channel.trim = *rest;
            }
            left = others;
            given = tail;
            number = number.saturating_add(1);
        }
        self
    }
}
