//! What comes out while control moves: pickup and fade (T6, H4, H5).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Elapsed};
use crate::deflection::{AxisSet, Deflection, Frame};
use crate::share::Change;

/// The output of all axes and how it gets from one stick to another.
#[derive(Clone, Debug)]
pub(crate) struct Transfer<const N: usize> {
    /// Axes on their way from one stick to another (H4).
    fading: AxisSet,
    /// One timer for all axes that fade.
    fading_for: Elapsed,
    /// Axes that keep their output until the instructor's stick picks them up (T6); none of them fades.
    waiting: AxisSet,
    /// Waiting axes whose stick was above the output when the wait began.
    above: AxisSet,
    axes: [Axis; N],
}

#[derive(Clone, Copy, Debug)]
struct Axis {
    /// The last output.
    output: Deflection,
    /// Where a fade comes from.
    from: Deflection,
    /// The least distance between stick and output since the wait began.
    nearest: u16,
    /// How long the wait has lasted.
    waited: Elapsed,
}

/// Where the outputs are to go in a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    pub(crate) change: Change,
    /// The student's set now.
    pub(crate) student: AxisSet,
    pub(crate) held: AxisSet,
    /// Axes whose fade is cut short.
    pub(crate) cut: AxisSet,
    /// Every stick is output at once: K1, I1, T7.
    pub(crate) at_once: bool,
}

impl<const N: usize> Transfer<N> {
    pub(crate) const fn new() -> Self {
        Self {
            fading: AxisSet::EMPTY,
            fading_for: Elapsed::ZERO,
            waiting: AxisSet::EMPTY,
            above: AxisSet::EMPTY,
            axes: [Axis { output: Deflection::CENTRE, from: Deflection::CENTRE, nearest: 0, waited: Elapsed::ZERO }; N],
        }
    }

    /// The axes that wait to be picked up.
    pub(crate) const fn waiting(&self) -> AxisSet {
        self.waiting
    }

    /// Nobody flies: the failsafe frame, now and as the last output (I2).
    pub(crate) fn fail_safe(&mut self, policy: &CheckedPolicy<N>) -> Frame<N> {
        self.waiting = AxisSet::EMPTY;
        self.fading = AxisSet::EMPTY;
        let mut output = Frame::CENTRE;
        for ((axis, rule), out) in self.axes.iter_mut().zip(&policy.policy().axes).zip(output.axes_mut()) {
            axis.output = rule.failsafe;
            *out = rule.failsafe;
        }
        output
    }

    pub(crate) fn step(
        &mut self,
        policy: &CheckedPolicy<N>,
        dt: Duration,
        way: Way,
        rests: impl Iterator<Item = Deflection>,
        instructor: &Frame<N>,
        student: &Frame<N>,
    ) -> Frame<N> {
        self.fading = self.fading.except(way.cut | way.change.leaving);
        let timed_out = self.wait(policy, dt, way, rests, instructor);
        let weight = self.fade(policy.policy().fade, dt, way.change.joining | timed_out);

        let mut output = Frame::CENTRE;
        for ((((index, axis), out), i), s) in
            (0..).zip(&mut self.axes).zip(output.axes_mut()).zip(instructor.axes()).zip(student.axes())
        {
            let to = if way.student.contains(index) { *s } else { *i };
            axis.output = if self.waiting.contains(index) {
                axis.output
            } else if self.fading.contains(index) {
                weight.between(axis.from, to)
            } else {
                to
            };
            *out = axis.output;
        }
        output
    }

    /// Begins, ends and times the waits; returns the axes whose wait is over because it lasted too long.
    fn wait(
        &mut self,
        policy: &CheckedPolicy<N>,
        dt: Duration,
        way: Way,
        rests: impl Iterator<Item = Deflection>,
        instructor: &Frame<N>,
    ) -> AxisSet {
        let beginning = way.change.leaving & policy.pickup;
        self.waiting = if way.at_once { AxisSet::EMPTY } else { self.waiting.except(way.change.joining) | beginning };
        if self.waiting.is_empty() {
            return AxisSet::EMPTY;
        }
        let mut timed_out = AxisSet::EMPTY;
        for ((((index, axis), rule), rest), x) in
            (0..).zip(&mut self.axes).zip(&policy.policy().axes).zip(rests).zip(instructor.axes())
        {
            if !self.waiting.contains(index) {
                continue;
            }
            let (x, h) = (*x, axis.output);
            let off = x.distance(h);
            let over = if beginning.contains(index) {
                axis.nearest = off;
                axis.waited = Elapsed::ZERO;
                self.above = if x > h { self.above.with(index) } else { self.above.without(index) };
                let towards = (rest < x && x < h) || (h < x && x < rest);
                x == h || (way.held.contains(index) && !towards)
            } else {
                axis.nearest = axis.nearest.min(off);
                axis.waited.advance(dt);
                let met = if self.above.contains(index) { x <= h } else { x >= h };
                met || off.saturating_sub(axis.nearest) > rule.engage.magnitude()
            };
            let too_long = axis.waited.reached(policy.policy().pickup_max);
            if over || too_long {
                self.waiting = self.waiting.without(index);
            }
            if too_long && !over {
                timed_out = timed_out.with(index);
            }
        }
        timed_out
    }

    /// Times, ends and begins the fades.
    fn fade(&mut self, fade: Duration, dt: Duration, beginning: AxisSet) -> Weight {
        self.fading_for.advance(dt);
        if self.fading_for.reached(fade) {
            self.fading = AxisSet::EMPTY;
        }
        if !beginning.is_empty() {
            // One timer: those that still fade begin anew from where they are.
            self.fading = self.fading | beginning;
            self.fading_for = Elapsed::ZERO;
            for axis in &mut self.axes {
                axis.from = axis.output;
            }
        }
        if self.fading.is_empty() { Weight::WHOLE } else { Weight::after(self.fading_for, fade) }
    }
}

/// How far a fade has come, in 2^-14ths.
#[derive(Clone, Copy, Debug)]
struct Weight(i16);

impl Weight {
    const WHOLE: Self = Self(1 << 14);

    /// floor(2^14 * elapsed / fade), by long division one bit at a time: no divide instruction, no 64-bit product (N4).
    fn after(elapsed: Elapsed, fade: Duration) -> Self {
        if elapsed.reached(fade) {
            return Self::WHOLE;
        }
        // The remainder is below `fade`, which is at most 2^31, so doubling it never overflows.
        let (mut remainder, mut quotient) = (elapsed.ticks(), 0);
        for _ in 0..14 {
            remainder <<= 1;
            quotient <<= 1;
            if let Some(less) = remainder.checked_sub(fade.as_ticks()) {
                remainder = less;
                quotient |= 1;
            }
        }
        Self(quotient)
    }

    /// from + (to - from) * W / 2^14, rounded to nearest, halves away from zero; lies between the two.
    fn between(self, from: Deflection, to: Deflection) -> Deflection {
        let (from, to) = (i32::from(from.to_bits()), i32::from(to.to_bits()));
        // Nothing here wraps: `from` is within 2^15, the way within 2^16, the weight within 2^14, the sum within 2^29. A
        // saturating product would cost a Cortex-M0 a 64-bit multiplication (N4).
        let line = (from << 14).wrapping_add(to.wrapping_sub(from).wrapping_mul(i32::from(self.0)));
        let size = line.wrapping_abs().wrapping_add(1 << 13) >> 14;
        #[allow(clippy::cast_possible_truncation)] // between two deflections
        Deflection::from_bits(if line < 0 { size.wrapping_neg() } else { size } as i16)
    }
}
