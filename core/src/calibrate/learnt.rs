//! Result of the guide: set-ups of channels, and the measurements from which thresholds are computed.

use super::motion::Sweep;
use super::noise::RestNoise;
use crate::channel::Channel;
use crate::quantity::{Counts, Micros, Pulse, Reading, Unit};

/// All `N` axes, axis 0 first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(bound = ""))]
pub struct Learnt<U, const N: usize> {
    /// The result for each axis.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub axes: [LearntAxis<U>; N],
}

/// Result for one axis. Distances are in steps of its readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(bound = ""))]
pub struct LearntAxis<U> {
    /// Whether a spring returns the stick to its centre, as given to the calibration.
    pub sprung: bool,
    /// Reading at the end with the smaller readings.
    pub low: Reading<U>,
    /// Reading at rest; without a spring, half way between the ends.
    pub centre: Reading<U>,
    /// Reading at the end with the larger readings.
    pub high: Reading<U>,
    /// Whether the reading becomes smaller towards up or right.
    pub reversed: bool,
    /// Noise at rest.
    pub noise: RestNoise,
    /// Quantisation step: the smallest non-zero difference between a reading and the next one, at rest and moved. 0
    /// where no reading changed, so that the step is unknown.
    pub step: u16,
    /// Largest distance from its centre at which the stick came to rest after it was let go.
    pub scatter: u16,
    /// Largest distance that the stick swung past its centre after it was let go.
    pub overshoot: u16,
    /// Largest number of frames from the arrival at the middle until the stick stood still.
    pub ring: u16,
    /// The slowest sweep through centre; `None` where there was no sweep.
    pub slowest_sweep: Option<Sweep>,
}

impl<U: Unit, const N: usize> Learnt<U, N> {
    /// The readings of all sticks at rest. Read through the channels of a lesson, they are the fixed rests of a policy.
    pub fn centres(&self) -> [Reading<U>; N] {
        self.axes.each_ref().map(|axis| axis.centre)
    }
}

impl LearntAxis<Micros> {
    /// A stick of which only the rest was measured, by a [`RestMeter`](super::RestMeter). Its ends are taken as
    /// nominal, 1000 and 2000 us; its return to centre and its sweeps are unknown.
    pub const fn at_rest(noise: RestNoise, sprung: bool) -> Self {
        Self {
            sprung,
            low: Pulse::from_micros(1000),
            centre: Pulse::from_bits(noise.centre),
            high: Pulse::from_micros(2000),
            reversed: false,
            noise,
            step: noise.step,
            scatter: 0,
            overshoot: 0,
            ring: 0,
            slowest_sweep: None,
        }
    }

    /// The channel set-up in which the learnt ends are full travel.
    ///
    /// Use it for the student, and for a box whose own sticks fly the craft. An instructor's transmitter that flies the
    /// craft by itself keeps its nominal [`Channel::pulse`], so that the craft receives what that transmitter sends.
    pub fn channel(&self, number: u8) -> Channel<Micros> {
        let nominal = Channel::pulse(number);
        Channel {
            reversed: self.reversed,
            low: self.low,
            centre: self.centre,
            high: self.high,
            lowest: nominal.lowest.min(self.low),
            highest: nominal.highest.max(self.high),
            ..nominal
        }
    }
}

impl LearntAxis<Counts> {
    /// The channel set-up in which the learnt ends are full travel, for a converter that counts to `full_scale`.
    pub fn channel(&self, number: u8, full_scale: u16) -> Channel<Counts> {
        let counts = [self.low, self.centre, self.high].map(Reading::to_bits);
        Channel { reversed: self.reversed, ..Channel::counts(number, counts, full_scale) }
    }
}
