//! Sticks and time as C types.

use handback::Frame as EngineFrame;

/// The largest number of axes of a frame.
pub const MAX_AXES: usize = 16;

/// Distance of a stick from its centre, in units of 2^-14 of full nominal travel: 16384 is 100 points. 2 points are
/// 328, which is 10 us of a 1000..2000 us pulse.
pub type Deflection = i16;

/// A set of axes: bit a says whether axis a is in it.
pub type AxisSet = u16;

/// A length of time, or a moment on a free-running clock that wraps, in microseconds.
pub type Micros = u32;

/// The sticks at one moment, axis 0 first. Entries past the policy's last axis are ignored.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[repr(C)]
pub struct Frame {
    /// The axes.
    pub axes: [Deflection; MAX_AXES],
}

/// The inputs of one step. Zeroed, they are a step without a frame, with the lesson switch off.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Inputs {
    /// The instant of the step. Only its difference from the step before counts. A difference above `late_step` is a
    /// late step (K1).
    pub now: Micros,
    /// The instructor's frame, if one came since the step before; else null.
    pub instructor: *const Frame,
    /// The student's frame, if one came since the step before; else null.
    pub student: *const Frame,
    /// Whether the lesson switch is seen on: 0 is off, anything else on.
    pub lesson_switch: u8,
    /// Whether the instructor asks for the craft with a button (T7): 0 is no, anything else yes.
    pub instructor_now: u8,
}

impl Frame {
    /// The frame for an engine of `N` axes, of which the policy has `count`; the other axes are centred.
    pub(crate) fn in_engine<const N: usize>(&self, count: u8) -> EngineFrame<N> {
        let mut frame = EngineFrame::CENTRE;
        for (axis, bits) in frame.axes_mut().iter_mut().zip(&self.axes).take(count.into()) {
            *axis = handback::Deflection::from_bits(*bits);
        }
        frame
    }

    /// The frame of an engine; 0 past its last axis.
    pub(crate) fn of_engine<const N: usize>(frame: &EngineFrame<N>) -> Self {
        let mut axes = [0; MAX_AXES];
        for (bits, axis) in axes.iter_mut().zip(frame.axes()) {
            *bits = axis.to_bits();
        }
        Self { axes }
    }
}
