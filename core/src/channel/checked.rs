//! Channels that passed their check. They convert every frame without division or 64-bit arithmetic (N4).

use crate::channel::Channels;
use crate::channel::line::Line;
use crate::quantity::{Deflection, Frame, Reading, Unit};

/// Channels that passed [`Channels::check`]. They never change, so they can stay in flash.
///
/// ```
/// use handback::{Channel, Channels, Count};
/// // Two sticks on a converter of 12 bits; the second one is mounted the other way round.
/// let stick = Channel::counts(0, [400, 2000, 3600], 4095);
/// let mut other = stick;
/// (other.number, other.reversed) = (1, true);
/// let sticks = Channels::<_, 2, 2>::new([stick, other]).check()?;
/// let frame = sticks.frame(&[2800, 2800].map(Count::from_bits));
/// assert_eq!(frame.axes().map(|at| at.to_string()), ["50.00 points", "-50.00 points"]);
/// # Ok::<(), handback::ChannelError<handback::Counts>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "Channels<U, N, M>", into = "Channels<U, N, M>", bound = "U: Unit"))]
pub struct CheckedChannels<U, const N: usize, const M: usize> {
    pub(crate) channels: Channels<U, N, M>,
    pub(crate) lines: [Option<Line>; N],
}

impl<U: Unit, const N: usize, const M: usize> CheckedChannels<U, N, M> {
    /// The channels that were checked.
    pub const fn channels(&self) -> &Channels<U, N, M> {
        &self.channels
    }

    /// The frame of `M` readings, channel 0 first. A reading out of range becomes [`Deflection::OUT_OF_RANGE`].
    ///
    /// Do not convert a train with another number of channels: it is unknown which channel is missing or added, so an
    /// axis could follow the stick of another axis. Give the engine no frame then. A
    /// [`Decoder`](crate::ppm::Decoder) of `M` channels drops these trains.
    pub fn frame(&self, readings: &[Reading<U>; M]) -> Frame<N> {
        let mut frame = Frame::CENTRE;
        for (line, at) in self.lines.iter().zip(frame.axes_mut()) {
            let reading = line.and_then(|line| Some((line, *readings.get(usize::from(line.number))?)));
            *at = reading.map_or(Deflection::OUT_OF_RANGE, |(line, reading)| line.deflection(reading));
        }
        frame
    }

    /// The readings of a frame, channel 0 first, to send to the craft. A channel that carries no axis keeps its reading
    /// from `others`, for example the one that the instructor's transmitter sent.
    ///
    /// `None` if an axis that has a channel is [`Deflection::OUT_OF_RANGE`]. No engine outputs that. Send nothing then,
    /// so that the receiver's own failsafe acts.
    ///
    /// ```
    /// use handback::{Channels, Deflection, Frame, Pulse};
    /// let craft = Channels::<_, 1, 3>::pulses().check()?;
    /// let others = [Pulse::from_micros(1500), Pulse::from_micros(1000), Pulse::from_micros(2000)];
    /// let train = craft.readings(&Frame::new([Deflection::from_points(-50)]), others);
    /// assert_eq!(train.map(|train| train.map(Pulse::to_micros)), Some([1250, 1000, 2000]));
    /// # Ok::<(), handback::ChannelError<handback::Micros>>(())
    /// ```
    pub fn readings(&self, frame: &Frame<N>, others: [Reading<U>; M]) -> Option<[Reading<U>; M]> {
        let mut readings = others;
        for (line, &at) in self.lines.iter().zip(frame.axes()) {
            let Some(line) = line else { continue };
            if at == Deflection::OUT_OF_RANGE {
                return None;
            }
            *readings.get_mut(usize::from(line.number))? = line.reading(at);
        }
        Some(readings)
    }
}
