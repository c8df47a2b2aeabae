//! What the guide learnt of the sticks: set-ups of channels, and what thresholds are worked out from.

use super::motion::Sweep;
use super::noise::RestNoise;
use crate::channel::Channel;
use crate::reading::{Counts, Micros, Pulse, Reading, Unit};

/// All `N` axes, axis 0 first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(bound = ""))]
pub struct Learnt<U, const N: usize> {
    /// What was learnt of each.
    #[cfg_attr(feature = "serde", serde(with = "crate::array"))]
    pub axes: [LearntAxis<U>; N],
}

/// One axis; distances are in steps of its readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(bound = ""))]
pub struct LearntAxis<U> {
    /// Whether a spring brings it home, as the calibration was told.
    pub sprung: bool,
    /// The end with the lesser reading.
    pub low: Reading<U>,
    /// Where it rests; without a spring, half way.
    pub centre: Reading<U>,
    /// The end with the greater reading.
    pub high: Reading<U>,
    /// Whether up, or right, is the lesser reading.
    pub reversed: bool,
    /// How it was at rest.
    pub noise: RestNoise,
    /// The least non-zero difference between a reading and the next one, at rest and moved: the quantisation step. 0 where
    /// nothing changed, so that it is not known.
    pub step: u16,
    /// The furthest from its centre that it came to rest after it was let go.
    pub scatter: u16,
    /// The furthest that it swung past its centre then.
    pub overshoot: u16,
    /// The most frames from its arrival at the middle until it stood still.
    pub ring: u16,
    /// The slowest of its sweeps through centre; `None` where none was asked for.
    pub slowest_sweep: Option<Sweep>,
}

impl<U: Unit, const N: usize> Learnt<U, N> {
    /// Where every stick rests, to be read through the channels that a lesson uses: the fixed rests of a policy.
    pub fn centres(&self) -> [Reading<U>; N] {
        self.axes.each_ref().map(|axis| axis.centre)
    }
}

impl LearntAxis<Micros> {
    /// A stick that was only watched at rest, by a [`RestMeter`](super::RestMeter): its ends are taken for nominal, 1000
    /// and 2000 us, and how it comes home and sweeps is not known.
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

    /// The set-up that makes full travel of what was learnt.
    ///
    /// It is for the student, and for a box whose own sticks fly the craft. An instructor's transmitter that flies the
    /// craft by itself keeps its nominal [`Channel::pulse`], so that the craft is sent what it sends.
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
    /// The set-up that makes full travel of what was learnt, of a converter that counts to `full_scale`.
    pub fn channel(&self, number: u8, full_scale: u16) -> Channel<Counts> {
        let counts = [self.low, self.centre, self.high].map(Reading::to_bits);
        Channel { reversed: self.reversed, ..Channel::counts(number, counts, full_scale) }
    }
}
