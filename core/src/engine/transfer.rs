//! The output while control changes: pickup and fade (T6, H4, H5).
//!
//! Rules: T6, H4, H5

use super::findings::{Findings, Objections};
use super::signal::Signals;
use super::timer::Since;
use super::weight::Weight;
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Deflection, Frame, Instant, WideSet};

/// The output of all axes, and how it moves from one stick to another.
#[derive(Clone, Debug, Hash)]
pub(super) struct Transfer<const N: usize> {
    /// Axes that fade (H4).
    fading: AxisSet,
    /// Axes that keep their output until the instructor's stick picks them up (T6); none of them fades.
    waiting: AxisSet,
    /// Since when all axes of `fading` have faded.
    fades: Since,
    /// The last output.
    output: Frame<N>,
    /// For a fading axis, the output at which its fade began; for a waiting axis, the stick position nearest to the
    /// output so far.
    marks: Frame<N>,
    /// Since when each axis of `waiting` has waited.
    waits: [Since; N],
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
            fades: Since::NEVER,
            output: Frame::CENTRE,
            marks: Frame::CENTRE,
            waits: [Since::NEVER; N],
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
        self.output = *sides.instructor;
        self.output.take(sides.flown, sides.student);
    }

    pub(super) fn step(
        &mut self,
        policy: &CheckedPolicy<N>,
        now: Instant,
        sides: Sides<'_, N>,
        rests: impl Iterator<Item = Deflection>,
        found: &Findings,
    ) {
        // Every stick is output at once: no axis begins to wait, and every wait ends (T6).
        let at_once = found.raised(Objections::INSTRUCTOR_WAS_LOST | Objections::INSTRUCTOR_NOW);
        // An axis leaves the student's set only in a step of T4 that empties it, or because a stick became held that takes
        // the axis: both cut its fade (H4.8).
        let cut = if at_once || found.newly_withheld { AxisSet::ALL } else { found.newly_taken };
        self.fading = self.fading.except(cut);
        let passed = self.fades.passed(now);
        if passed >= policy.fade.fade.as_ticks() {
            self.fading = AxisSet::EMPTY;
        }
        self.waiting = self.waiting.except(found.joining);
        let mut beginning = found.joining;
        if at_once {
            self.waiting = AxisSet::EMPTY;
        } else {
            if !self.waiting.is_empty() {
                beginning = beginning | self.go_on_waiting(policy, now, sides.instructor);
            }
            let leaving = found.leaving & policy.pickup;
            if !leaving.is_empty() {
                let begun = self.begin_waits(now, leaving, sides.instructor, rests, found.held);
                if policy.policy().pickup_max.is_zero() {
                    beginning = beginning | begun;
                } else {
                    self.waiting = self.waiting | begun;
                }
            }
        }

        let begins = !beginning.is_empty() && !policy.fade.fade.is_zero();
        if begins {
            // One instant serves all axes: those that still fade begin again from their last output.
            self.fading = self.fading | beginning;
            self.fades = Since(now.as_ticks());
            self.marks.take(self.fading, &self.output);
        }
        self.put_out(sides, AxisSet::ALL.except(self.waiting | self.fading));
        if !begins && !self.fading.is_empty() {
            self.fade(Weight::after(passed, policy.fade), sides);
        }
    }

    /// See [`Engine::normalise`](super::Engine::normalise).
    #[cfg(feature = "states")]
    pub(super) fn normalise(&mut self, policy: &CheckedPolicy<N>, now: Instant) {
        let (fade, wait) = (policy.policy().fade, policy.policy().pickup_max);
        self.fades = if self.fading.is_empty() { Since::NEVER } else { self.fades.normal(now, fade) };
        let marked = self.fading | self.waiting;
        for ((axis, mark), since) in (0..).zip(self.marks.axes_mut()).zip(&mut self.waits) {
            if !marked.contains(axis) {
                *mark = Deflection::CENTRE;
            }
            *since = if self.waiting.contains(axis) { since.normal(now, wait) } else { Since::NEVER };
        }
    }

    /// Continues every wait, except where the stick ends it. Returns the axes that have waited for `pickup_max`; their
    /// waits are over.
    fn go_on_waiting(&mut self, policy: &CheckedPolicy<N>, now: Instant, instructor: &Frame<N>) -> AxisSet {
        let (mut waiting, mut timed_out, mut axis) = (self.waiting.wide(), WideSet::EMPTY, WideSet::FIRST);
        let sticks = instructor.axes().iter().zip(&policy.policy().axes);
        let ways = self.output.axes().iter().zip(self.marks.axes_mut()).zip(&self.waits);
        for (((h, nearest), since), (x, rule)) in ways.zip(sticks) {
            if waiting.meets(axis) {
                if is_over(*x, *h, nearest, rule.engage) {
                    waiting = waiting.except(axis);
                } else if since.passed(now) >= policy.policy().pickup_max.as_ticks() {
                    timed_out = timed_out.with(axis);
                }
            }
            axis = axis.next();
        }
        self.waiting = waiting.except(timed_out).narrow();
        timed_out.narrow()
    }

    /// Begins a wait on each of these axes, except where it ends at once. Returns the axes whose wait began.
    fn begin_waits(
        &mut self,
        now: Instant,
        leaving: AxisSet,
        instructor: &Frame<N>,
        rests: impl Iterator<Item = Deflection>,
        held: AxisSet,
    ) -> AxisSet {
        let (leaving, held) = (leaving.wide(), held.wide());
        let (mut begun, mut axis) = (WideSet::EMPTY, WideSet::FIRST);
        let ways = self.output.axes().iter().zip(self.marks.axes_mut()).zip(&mut self.waits);
        for (((h, nearest), since), (x, rest)) in ways.zip(instructor.axes().iter().zip(rests)) {
            if leaving.meets(axis) && !ends_at_once(*x, *h, rest, held.meets(axis)) {
                (*nearest, *since) = (*x, Since(now.as_ticks()));
                begun = begun.with(axis);
            }
            axis = axis.next();
        }
        begun.narrow()
    }

    /// Outputs the sticks of these axes; the others keep their output.
    fn put_out(&mut self, sides: Sides<'_, N>, axes: AxisSet) {
        self.output.take(axes.except(sides.flown), sides.instructor);
        self.output.take(axes & sides.flown, sides.student);
    }

    /// Moves the output of every fading axis towards its stick.
    fn fade(&mut self, weight: Weight, sides: Sides<'_, N>) {
        let (fading, flown, mut axis) = (self.fading.wide(), sides.flown.wide(), WideSet::FIRST);
        let sticks = sides.instructor.axes().iter().zip(sides.student.axes());
        for ((output, mark), (i, s)) in self.output.axes_mut().iter_mut().zip(self.marks.axes()).zip(sticks) {
            if fading.meets(axis) {
                *output = weight.between(*mark, if flown.meets(axis) { *s } else { *i });
            }
            axis = axis.next();
        }
    }
}

/// Whether a wait ends in the step in which it begins: the stick is where the output is, or the axis is held and its
/// stick did not move towards the output.
fn ends_at_once(x: Deflection, h: Deflection, rest: Deflection, held: bool) -> bool {
    // The student had the axis in the step before, so it became held in this step: its stick is not at its rest.
    x == h || (held && (rest < x) != (x < h))
}

/// Whether the wait ends: the stick has met the output or passed it, or it moves away from the output.
fn is_over(x: Deflection, h: Deflection, nearest: &mut Deflection, engage: Deflection) -> bool {
    // Until now the stick was on one side of the output all the time, and so was its nearest position. Differences of
    // deflections do not wrap in 32 bits.
    let bits = |stick: Deflection| i32::from(stick.to_bits());
    let (mut off, mut least) = (bits(x).wrapping_sub(bits(h)), bits(*nearest).wrapping_sub(bits(h)));
    if least < 0 {
        (off, least) = (off.wrapping_neg(), least.wrapping_neg());
    }
    if off <= 0 {
        return true;
    }
    if off < least {
        *nearest = x;
        return false;
    }
    off.wrapping_sub(least) > bits(engage)
}
