//! Inputs as products of what each part of a step may bring.

use handback::{Deflection, Frame};

use crate::node::Input;

/// What each part of a step may bring.
#[derive(Clone, Debug)]
pub(crate) struct Alphabet<const N: usize> {
    /// Times since the step before, in microseconds.
    pub(crate) dts: Vec<u32>,
    pub(crate) instructor: Vec<Option<Frame<N>>>,
    pub(crate) student: Vec<Option<Frame<N>>>,
}

/// A deflection beyond the least `plausible` that a policy may have.
pub(crate) const BAD: i16 = (1 << 14) + 1;

impl<const N: usize> Alphabet<N> {
    /// Every mix of these, with the switch on and off. *Instructor now* is asked for in every mix with a `dt` of 1.
    pub(crate) fn inputs(&self) -> Vec<Input<N>> {
        let mut inputs = Vec::new();
        for &dt in &self.dts {
            for &instructor in &self.instructor {
                for &student in &self.student {
                    for switch in [true, false] {
                        for now in [false, true].into_iter().filter(|now| !now || dt == 1) {
                            inputs.push(Input { dt, instructor, student, switch, now });
                        }
                    }
                }
            }
        }
        inputs
    }
}

/// Every frame of these deflections, in units.
pub(crate) fn frames<const N: usize>(sticks: [&[i16]; N]) -> Vec<Frame<N>> {
    let mut all = vec![[0; N]];
    for (axis, values) in sticks.iter().enumerate() {
        let longer = all.iter().flat_map(|frame| {
            values.iter().map(move |value| {
                let mut frame = *frame;
                frame[axis] = *value;
                frame
            })
        });
        all = longer.collect();
    }
    all.into_iter().map(|bits| Frame::new(bits.map(Deflection::from_bits))).collect()
}

/// No frame, or one of these.
pub(crate) fn or_none<const N: usize>(frames: &[Frame<N>]) -> Vec<Option<Frame<N>>> {
    [None].into_iter().chain(frames.iter().copied().map(Some)).collect()
}

/// No frame, a frame whose last axis is beyond `plausible`, or one of these.
pub(crate) fn or_bad<const N: usize>(frames: &[Frame<N>]) -> Vec<Option<Frame<N>>> {
    let mut bad = Frame::CENTRE;
    bad.axes_mut()[N - 1] = Deflection::from_bits(BAD);
    or_none(frames).into_iter().chain([Some(bad)]).collect()
}
