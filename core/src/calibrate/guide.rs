//! Guides the pilot through the sequence, and begins the next step when the current one is done.

use core::marker::PhantomData;

use super::axis::Axis;
use super::learnt::Learnt;
use super::sequence::{Prompt, SEQUENCE};
use crate::quantity::{AxisSet, Reading, Unit, WideSet};

/// State of the guide after a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct CalibrationProgress {
    /// What the pilot is asked to do now.
    pub step: Prompt,
    /// Whether this step begins now, for a beep or a spoken prompt.
    pub begun: bool,
    /// The axes that have not done this step yet.
    pub missing: AxisSet,
}

/// Learns `N` sticks, frame by frame. Propellers off, and no power on the receiver of the craft: these sticks fly
/// nothing.
///
/// The readings are those of a lesson: one reading of each stick in each frame, in the order of the axes.
#[derive(Clone, Debug)]
pub struct Calibration<U, const N: usize> {
    sprung: AxisSet,
    rest_frames: u32,
    /// Index in the sequence.
    place: u8,
    begun: bool,
    axes: [Axis; N],
    unit: PhantomData<U>,
}

impl<U: Unit, const N: usize> Calibration<U, N> {
    /// A guide at the beginning of the sequence. The rest begins with the first frame: make the guide when the pilot
    /// says that no hand is on a stick.
    ///
    /// `sprung` is the set of axes with a spring that returns the stick to its centre. `rest_frames` is the length of
    /// the rest with hands off: 128 to 131,072 frames; a value outside that range counts as the nearer limit.
    ///
    /// A recommendation needs at least 256 frames. About 500 frames are enough for white noise. 6000 frames, two
    /// minutes at 50 frames a second, are enough for noise with a correlation time (e-fold) of an eighth of a second.
    /// Slower noise needs a longer rest, and the recommendation says so.
    pub const fn new(sprung: AxisSet, rest_frames: u32) -> Self {
        const { assert!(N >= 1 && N <= 16, "a frame has 1 to 16 axes") };
        let rest_frames = if rest_frames > LONGEST_REST { LONGEST_REST } else { rest_frames };
        let rest_frames = if rest_frames < SHORTEST_REST { SHORTEST_REST } else { rest_frames };
        Self { sprung, rest_frames, place: 0, begun: true, axes: [Axis::NEW; N], unit: PhantomData }
    }

    /// Takes in one frame. A frame in which a reading is 0 or [`Reading::MAX`], which no stick gives, is ignored: a
    /// stick that reaches 0 counts at an end never finishes its action (see [`Channel::counts`](crate::Channel::counts)).
    pub fn take(&mut self, readings: &[Reading<U>; N]) -> CalibrationProgress {
        let sound = readings.iter().all(|&reading| reading.to_bits() != 0 && reading.to_bits() != u16::MAX);
        let step = self.step();
        if sound {
            let mut axis = WideSet::FIRST;
            for (state, &reading) in self.axes.iter_mut().zip(readings) {
                state.take(step, reading, self.sprung.wide().meets(axis));
                axis = axis.next();
            }
            self.advance(step);
        }
        let begun = core::mem::replace(&mut self.begun, false);
        CalibrationProgress { step: self.step(), begun, missing: self.missing() }
    }

    /// What the pilot is asked to do now.
    pub const fn step(&self) -> Prompt {
        let [first, second, third, fourth, fifth, sixth] = SEQUENCE;
        match self.place {
            0 => first,
            1 => second,
            2 => third,
            3 => fourth,
            4 => fifth,
            5 => sixth,
            _ => Prompt::Done,
        }
    }

    /// The result; `None` until the sequence is done.
    pub fn learnt(&self) -> Option<Learnt<U, N>> {
        if self.step() != Prompt::Done {
            return None;
        }
        let mut axis = WideSet::FIRST;
        Some(Learnt {
            axes: self.axes.map(|state| {
                let sprung = self.sprung.wide().meets(axis);
                axis = axis.next();
                state.learnt(sprung)
            }),
        })
    }

    /// The axes that have not done this step yet.
    fn missing(&self) -> AxisSet {
        let (mut missing, mut axis) = (WideSet::EMPTY, WideSet::FIRST);
        for state in &self.axes {
            if self.step() != Prompt::Done && !state.done {
                missing = missing.with(axis);
            }
            axis = axis.next();
        }
        missing.narrow()
    }

    /// Begins the next step once every axis has done this one.
    fn advance(&mut self, step: Prompt) {
        if step == Prompt::HandsOff {
            if self.axes.iter().any(|axis| axis.meter.strayed()) {
                // A stick was touched: the rest begins again.
                self.axes = [Axis::NEW; N];
                self.begun = true;
            }
            for axis in &mut self.axes {
                if axis.meter.frames() >= self.rest_frames {
                    axis.rested::<U>();
                    axis.done = true;
                }
            }
        }
        if step != Prompt::Done && self.missing().is_empty() {
            self.place = self.place.saturating_add(1);
            self.begun = true;
            for axis in &mut self.axes {
                axis.begin();
            }
        }
    }
}

/// The shortest and the longest rest, in frames.
const SHORTEST_REST: u32 = 128;
const LONGEST_REST: u32 = 131_072;
