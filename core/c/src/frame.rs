//! Sticks and time, as C holds them.

use handback::Frame as EngineFrame;

/// The most axes that a frame has.
pub const MAX_AXES: usize = 16;

/// How far a stick is from its centre, in 2^-14ths of full nominal travel: 16384 is 100 points, and 2 points are 328,
/// which is 10 us of a 1000..2000 us pulse.
pub type Deflection = i16;

/// A set of axes: bit a says whether axis a is in it.
pub type AxisSet = u16;

/// A length of time, or a moment on a free-running clock that wraps, in microseconds.
pub type Micros = u32;

/// The sticks of one moment, axis 0 first. What stands past the policy's last axis is not looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[repr(C)]
pub struct Frame {
    /// The axes.
    pub axes: [Deflection; MAX_AXES],
}

/// What one step is given. Zeroed, it is a step without a frame, with the lesson switch off.
#[derive(Clone, Copy, Debug)]
#[repr(C)]
pub struct Inputs {
    /// When the step is. Only the difference from the step before counts, and too large a one is a late step (K1).
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
    /// For an engine of `N` axes, of which the policy names `count`; the others are centred, whatever stands there.
    pub(crate) fn in_engine<const N: usize>(&self, count: u8) -> EngineFrame<N> {
        let mut frame = EngineFrame::CENTRE;
        for (axis, bits) in frame.axes_mut().iter_mut().zip(&self.axes).take(count.into()) {
            *axis = handback::Deflection::from_bits(*bits);
        }
        frame
    }

    /// From an engine; past its last axis 0.
    pub(crate) fn of_engine<const N: usize>(frame: &EngineFrame<N>) -> Self {
        let mut axes = [0; MAX_AXES];
        for (bits, axis) in axes.iter_mut().zip(frame.axes()) {
            *bits = axis.to_bits();
        }
        Self { axes }
    }
}
