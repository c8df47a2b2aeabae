//! The output while control changes: pickup and fade (T6, H4, H5).
//!
//! Rules: T6, H4, H5

use super::findings::{Findings, Objections};
use super::signal::Signals;
use super::timer::Left;
use super::weight::Weight;
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Deflection, Duration, Frame};

/// The output of all axes, and how it moves from one stick to another.
#[derive(Clone, Debug)]
pub(super) struct Transfer<const N: usize> {
    /// Axes that fade (H4).
    fading: AxisSet,
    /// Axes that keep their output until the instructor's stick picks them up (T6); none of them fades.
    waiting: AxisSet,
    /// One timer for all axes that fade.
    fades: Left,
    /// The last output.
    output: Frame<N>,
    /// For a fading axis, the output at which its fade began; for a waiting axis, the stick position nearest to the
    /// output so far.
    marks: Frame<N>,
    /// Remaining time of the wait of each axis.
    waits: [Left; N],
}

/// The frames of both sides, between which a step chooses.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sides<'a, const N: usize> {
    pub(super) instructor: &'a Frame<N>,
    pub(super) student: &'a Frame<N>,
    /// The axes that the student flies.
    pub(super) flown: AxisSet,
}

impl<'a, const N: usize> Sides<'a, N> {
    pub(super) const fn new(signals: &'a Signals<N>, flown: AxisSet) -> Self {
        Self { instructor: signals.instructor(), student: signals.student(), flown }
    }
}

impl<const N: usize> Transfer<N> {
    pub(super) const fn new() -> Self {
        Self {
            fading: AxisSet::EMPTY,
            waiting: AxisSet::EMPTY,
            fades: Left::OVER,
            output: Frame::CENTRE,
            marks: Frame::CENTRE,
            waits: [Left::OVER; N],
        }
    }

    /// The axes that wait to be picked up.
    pub(super) const fn waiting(&self) -> AxisSet {
        self.waiting
    }

    /// Whether no axis waits or fades.
    pub(super) fn still(&self) -> bool {
        (self.waiting | self.fading).is_empty()
    }

    /// The last output.
    pub(super) const fn output(&self) -> &Frame<N> {
        &self.output
    }

    /// Outputs the failsafe frame: nobody flies (I2).
    pub(super) fn fail_safe(&mut self, policy: &CheckedPolicy<N>) {
        self.waiting = AxisSet::EMPTY;
        self.fading = AxisSet::EMPTY;
        self.output = policy.failsafe_frame();
    }

    /// Outputs the student's sticks on the student's axes and the instructor's on all others. For a step in which no
    /// axis waits or fades.
    #[inline]
    pub(super) fn follow(&mut self, sides: Sides<'_, N>) {
        self.output = sides.instructor.with_axes_of(sides.student, sides.flown);
    }

    pub(super) fn step(
        &mut self,
        policy: &CheckedPolicy<N>,
        sides: Sides<'_, N>,
        rests: impl Iterator<Item = Deflection>,
        found: &Findings,
    ) {
        // Every stick is output at once: no axis begins to wait, and every wait ends (T6).
        let at_once = found.raised(Objections::INSTRUCTOR_WAS_LOST | Objections::INSTRUCTOR_NOW);
        let cut = if at_once || found.newly_withheld { AxisSet::ALL } else { found.newly_taken };
        self.fading = self.fading.except(cut | found.leaving);
        let (mut timed_out, leaving) = (AxisSet::EMPTY, found.leaving & policy.pickup);
        self.waiting = self.waiting.except(found.joining);
        if at_once {
            self.waiting = AxisSet::EMPTY;
        } else {
            if !self.waiting.is_empty() {
                timed_out = self.go_on_waiting(policy, sides.instructor, found.dt);
            }
            if !leaving.is_empty() {
                self.begin_waits(policy, leaving, rests, sides.instructor, found.held);
                if policy.policy().pickup_max.is_zero() {
                    timed_out = timed_out | (leaving & self.waiting);
                }
            }
            self.waiting = self.waiting.except(timed_out);
        }
        let beginning = found.joining | timed_out;

        self.fades.pass(found.dt);
        if self.fades.is_over() {
            self.fading = AxisSet::EMPTY;
        }
        if !beginning.is_empty() {
            // One timer serves all axes: those that still fade begin again from their last output.
            self.fading = self.fading | beginning;
            self.fades = Left::all_of(policy.policy().fade);
        }
        if self.still() {
            self.follow(sides);
        } else {
            self.put_out(policy, sides, !beginning.is_empty());
        }
    }

    /// Begins a wait on each of these axes, except where the wait ends at once.
    fn begin_waits(
        &mut self,
        policy: &CheckedPolicy<N>,
        beginning: AxisSet,
        rests: impl Iterator<Item = Deflection>,
        instructor: &Frame<N>,
        held: AxisSet,
    ) {
        let mut axis = AxisSet::FIRST;
        let sticks = instructor.axes().iter().zip(rests);
        let ways = self.output.axes().iter().zip(self.marks.axes_mut()).zip(&mut self.waits);
        for (((h, mark), left), (x, rest)) in ways.zip(sticks) {
            if beginning.meets(axis) && !ends_at_once(*x, *h, rest, held.meets(axis)) {
                *mark = *x;
                *left = Left::all_of(policy.policy().pickup_max);
                self.waiting = self.waiting | axis;
            }
            axis = axis.next();
        }
    }

    /// Continues the waits, and ends those that the stick ends. Returns the axes that have waited for `pickup_max`.
    fn go_on_waiting(&mut self, policy: &CheckedPolicy<N>, instructor: &Frame<N>, dt: Duration) -> AxisSet {
        let (waiting, mut timed_out, mut axis) = (self.waiting, AxisSet::EMPTY, AxisSet::FIRST);
        let sticks = instructor.axes().iter().zip(&policy.policy().axes);
        let ways = self.output.axes().iter().zip(self.marks.axes_mut()).zip(&mut self.waits);
        for (((h, mark), left), (x, rule)) in ways.zip(sticks) {
            if waiting.meets(axis) {
                left.pass(dt);
                if is_over(*x, *h, mark, rule.engage) {
                    self.waiting = self.waiting.except(axis);
                } else if left.is_over() {
                    timed_out = timed_out | axis;
                }
            }
            axis = axis.next();
        }
        timed_out
    }

    /// Outputs every axis: a waiting axis keeps its output, a fading axis moves towards its stick, and any other axis
    /// follows its stick.
    fn put_out(&mut self, policy: &CheckedPolicy<N>, sides: Sides<'_, N>, anew: bool) {
        let weight = if self.fading.is_empty() { Weight::WHOLE } else { Weight::after(self.fades, policy.fade) };
        let mut axis = AxisSet::FIRST;
        let sticks = sides.instructor.axes().iter().zip(sides.student.axes());
        for ((output, mark), (i, s)) in self.output.axes_mut().iter_mut().zip(self.marks.axes_mut()).zip(sticks) {
            if !self.waiting.meets(axis) {
                let to = if sides.flown.meets(axis) { *s } else { *i };
                if anew {
                    *mark = *output;
                }
                *output = if self.fading.meets(axis) { weight.between(*mark, to) } else { to };
            }
            axis = axis.next();
        }
    }
}

/// Whether a wait ends in the step in which it begins: the stick is where the output is, or the axis is held and its
/// stick did not move towards the output.
fn ends_at_once(x: Deflection, h: Deflection, rest: Deflection, held: bool) -> bool {
    let towards = (rest < x && x < h) || (h < x && x < rest);
    x == h || (held && !towards)
}

/// Whether the wait ends: the stick has met the output or passed it, or it moves away from the output.
fn is_over(x: Deflection, h: Deflection, nearest: &mut Deflection, engage: Deflection) -> bool {
    // Until now the stick was on one side of the output all the time, and so was its nearest position. Differences of
    // deflections do not wrap in 32 bits.
    let above = *nearest > h;
    let off_on_that_side = |stick: Deflection| {
        let (stick, h) = (i32::from(stick.to_bits()), i32::from(h.to_bits()));
        if above { stick.wrapping_sub(h) } else { h.wrapping_sub(stick) }
    };
    let (off, least) = (off_on_that_side(x), off_on_that_side(*nearest));
    if off < least {
        *nearest = x;
    }
    off <= 0 || off.wrapping_sub(least) > i32::from(engage.to_bits())
}
