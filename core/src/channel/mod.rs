//! From the channels of a pulse train, or of a converter, to the axes of a frame, and back to pulses.
//!
//! [`Channels`] are plain data with sane defaults, one set-up for each side: what the instructor's transmitter sends,
//! what the student's sends, what the craft is sent. [`Channels::check`] turns them into
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
//! The same with the low end above the centre:
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
//! 1. Range: a reading outside `lowest..=highest`, or two travels |e - c| or more from `c`, where deflections end,
//!    comes out as [`Deflection::OUT_OF_RANGE`], whatever follows.
//! 2. Travel: `rate` * |r - c| / |e - c| in units of 2^-14, rounded once, exactly, to nearest, halves away from zero.
//! 3. Direction: below centre is negative; the other way round where the channel is `reversed`.
//! 4. Limit: what is beyond -`limit_below` or `limit_above` becomes that.
//! 5. Trim: `trim` is added. A sum that cannot be written as a deflection comes out as `OUT_OF_RANGE`.
//!
//! Range comes before rate and limits, so that these make no stick of nonsense: a pulse of 3000 us is no beginner's
//! full throw. `OUT_OF_RANGE` is further out than any policy's `plausible`; where the axis matters, the engine takes
//! the frame for a bad one and reports it. Nothing saturates on this way. (A reading in range may still be beyond
//! `plausible`, but for rate and limits. Let `lowest` and `highest` be no wider than a stick that you believe.)
//!
//! # From a deflection to a reading
//! r = c plus or minus |d - `trim`| * |e - c|, with the direction undone, rounded to nearest, halves away from centre.
//! A reading that would be out of range stops at its edge, like a servo at its end stop. Rate and limits are the
//! student's and are not undone. A pulse that went in comes back within 1 us wherever it was in range.
//!
//! # Two transmitters, one centre
//! The instructor has trimmed the craft: hands off, the sticks read a few points off centre, and there it flies level.
//! The student's transmitter rests elsewhere. Were each read for what it sends, every handover would lurch by the
//! difference. So the *student's* reading of a resting stick is made the *instructor's*: the student's `centre` is the
//! student's learnt rest, and the student's `trim` is the deflection that the instructor's resting stick has
//! ([`meeting`](Channels::meeting)). Then both sticks at rest are the same deflection, to the unit, and the student's
//! rate and limits work about that point. It applies to the student's sprung axes, between the reading and the engine.
//! It never applies to the instructor: after a takeover the craft is sent what the instructor's transmitter sends. A
//! stick that stays where it is put has no rest to bring anywhere; a gate or a fade is for that (H3, H4).

mod check;
mod checked;
mod error;
mod line;

pub use checked::CheckedChannels;
pub use error::ChannelError;

use crate::quantity::{AxisSet, Counts, Deflection, Frame, Micros, Reading};

/// Where `N` axes are among `M` channels, each 1 to 16, all read in one unit. Plain data, to be
/// [checked](Self::check).
///
/// An axis without a channel (`None`) reads as [`Deflection::OUT_OF_RANGE`] and is not written. That is right for a
/// student who has fewer channels than the craft, as long as the policy does not share the axis. On the instructor's
/// side it makes every frame a bad one.
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
pub struct Channel<U> {
    /// Which channel it is, the first being 0.
    pub number: u8,
    /// Whether `low` is +100 points and `high` -100, instead of the other way round. Default false.
    pub reversed: bool,
    /// The reading at one end of the stick's nominal travel, below `centre` by 100 us or 32 counts or more.
    pub low: Reading<U>,
    /// The reading at centre: nominal, or learnt from the resting stick.
    pub centre: Reading<U>,
    /// The reading at the other end, above `centre` by as much or more; the two ways need not be equally long.
    pub high: Reading<U>,
    /// The least reading that can be this stick's, from above 0 to `low`. Less is a fault: a cable out, a broken wire.
    pub lowest: Reading<U>,
    /// The greatest reading that can be this stick's, from `high` to below [`Reading::MAX`].
    pub highest: Reading<U>,
    /// The deflection of the stick at `centre`, within 30 points either side: on the student's side the instructor's
    /// rest. Default 0.
    pub trim: Deflection,
    /// How much of the travel comes out, above 0 and up to 100 points, which is all of it and the default. For the
    /// student alone: an instructor takes over by moving a stick, and needs all of its travel.
    ///
    /// It is about the centre. A throttle needs all of its travel: 60 points of it would leave the student's motor
    /// running at a fifth of its power with the stick all the way down.
    pub rate: Deflection,
    /// The most that comes out below `trim`, above 0 and up to 150 points; `None`, the default, is no limit. For the
    /// student alone. Not for a throttle, whose motor it would leave running.
    ///
    /// Where a limit and the trim together are beyond the policy's `plausible`, the student's full throw is a bad
    /// frame.
    pub limit_below: Option<Deflection>,
    /// The same above `trim`. On a throttle it is the most power that the student has.
    pub limit_above: Option<Deflection>,
}

impl Channel<Micros> {
    /// A pulse of 1000 us at the low end, 1500 us at centre and 2000 us at the high end; from 750 us to 2250 us, 150
    /// points either side, it is taken for a stick. Common practice, no source.
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
    /// A potentiometer's counts at the low end, at centre and at the high end, as they were learnt from the stick; they
    /// have no default, since a wrong guess hurts. An eighth of the travel past either end is still taken for a stick,
    /// but never 0 nor `full_scale` (4095 of 12 bits), which are what a broken wire reads.
    ///
    /// A stick that reaches these counts cannot be told from a broken wire and is refused: a resistor on either side of
    /// the potentiometer makes the difference. Converters also read noise where a wire is broken: give the input a
    /// resistor to ground.
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
    /// Axis 0 on channel 0 and so on, each a [`Channel::pulse`]: what most receivers take.
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
    /// A channel for every axis, axis 0 first.
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

    /// The student's set-up with the centres of the sprung axes brought to where the instructor's sticks rest: their
    /// `trim` becomes the instructor's deflection at rest. Other axes keep theirs.
    ///
    /// ```
    /// use handback::{AxisSet, Channel, Channels, Pulse};
    /// // Hands off, the instructor's elevator sends 1520 us and the student's 1490 us.
    /// let instructor = Channels::<_, 1, 1>::pulses().check()?;
    /// let rests = instructor.frame(&[Pulse::from_micros(1520)]);
    /// let learnt = Channel { centre: Pulse::from_micros(1490), ..Channel::pulse(0) };
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
