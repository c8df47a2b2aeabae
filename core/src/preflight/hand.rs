//! One side's sticks: where they are, for how long they have stayed there, which of them moved and how far.

use super::plan::{Plan, rest_of};
use super::spot::{End, Side};
use crate::engine::Reception;
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Deflection, Frame};

/// A stick has been moved when it is this far from where it was: more than noise, trim or a sleeve ever make, less than
/// the shortest throw that is worth flying with. Own choice.
const MOVED: u16 = Deflection::from_points(30).magnitude();
/// Sticks are still while none is further than this from where it was: more than noise at rest.
const STILL: u16 = Deflection::from_points(3).magnitude();

/// The sticks of one transmitter.
#[derive(Clone, Debug)]
pub(super) struct Hand<const N: usize> {
    /// The last good frame.
    pub(super) frame: Frame<N>,
    /// For how long all sticks have been about `mark`, in microseconds.
    pub(super) still: u32,
    mark: Frame<N>,
    /// Where the sticks were when the stick at hand was first asked for, and how far they have been since.
    base: Frame<N>,
    low: Frame<N>,
    high: Frame<N>,
    /// Which axis each stick moves; of use where `known`.
    movers: [u8; N],
    known: AxisSet,
    /// The sticks that go the other way round.
    reversed: AxisSet,
    /// How far each stick went from its rest: to its positive and its negative end.
    ways: [[u16; 2]; N],
}

impl<const N: usize> Hand<N> {
    pub(super) const fn new() -> Self {
        Self {
            frame: Frame::CENTRE,
            still: 0,
            mark: Frame::CENTRE,
            base: Frame::CENTRE,
            low: Frame::CENTRE,
            high: Frame::CENTRE,
            movers: [0; N],
            known: AxisSet::EMPTY,
            reversed: AxisSet::EMPTY,
            ways: [[0; 2]; N],
        }
    }

    /// A step, and the frame that it brought.
    pub(super) fn take(&mut self, frame: Option<&Frame<N>>, reception: Reception, dt: u32) {
        self.still = self.still.saturating_add(dt);
        let Some(frame) = frame.filter(|_| reception == Reception::Good) else { return };
        self.frame = *frame;
        if frame.axes().iter().zip(self.mark.axes()).any(|(x, mark)| x.distance(*mark) > STILL) {
            self.mark = *frame;
            self.still = 0;
        }
        let spans = self.low.axes_mut().iter_mut().zip(self.high.axes_mut());
        for ((low, high), x) in spans.zip(frame.axes()) {
            *low = (*low).min(*x);
            *high = (*high).max(*x);
        }
    }

    /// A stick is asked for: from here on its way is measured.
    pub(super) fn begin(&mut self) {
        (self.base, self.low, self.high) = (self.frame, self.frame, self.frame);
    }

    /// The axis that has moved: the one asked for, or else the one that is furthest from where it was.
    pub(super) fn moved(&self, asked: u8) -> Option<u8> {
        let mut furthest = (MOVED, None);
        for ((axis, x), base) in (0..).zip(self.frame.axes()).zip(self.base.axes()) {
            let distance = x.distance(*base);
            if distance > MOVED && axis == asked {
                return Some(asked);
            }
            if distance > furthest.0 {
                furthest = (distance, Some(axis));
            }
        }
        furthest.1
    }

    /// The asked stick holds its first end: which axis it moves is known from here on.
    pub(super) fn learn(&mut self, asked: u8, mover: u8, end: End) {
        self.known = self.known.with(asked);
        if let Some(known) = self.movers.get_mut(usize::from(asked)) {
            *known = mover;
        }
        let above = at(&self.frame, mover) > at(&self.base, mover);
        self.reversed = self.reversed.without(asked).with_if(asked, above != (end == End::Positive));
    }

    /// Whether the stick that was asked for holds its other end.
    pub(super) fn is_at_other_end(&self, asked: u8, end: End) -> bool {
        let Some(mover) = self.mover(asked) else { return false };
        let (x, base) = (at(&self.frame, mover), at(&self.base, mover));
        let up = (end == End::Positive) != self.is_reversed(asked);
        x.distance(base) > MOVED && (x > base) == up
    }

    /// The stick is back: how far it went, measured from its rest, or from the centre where it is parked at an end.
    pub(super) fn measure(&mut self, asked: u8, plan: &Plan) {
        let Some(mover) = self.mover(asked) else { return };
        let from = if plan.has_two_ends(asked) { at(&self.base, mover) } else { Deflection::CENTRE };
        let (up, down) = (at(&self.high, mover).distance(from), at(&self.low, mover).distance(from));
        let reversed = self.is_reversed(asked);
        if let Some(ways) = self.ways.get_mut(usize::from(asked)) {
            *ways = if reversed { [down, up] } else { [up, down] };
        }
    }

    /// How far this stick went to that end; 0 where it was not asked.
    pub(super) fn way(&self, axis: u8, end: End) -> u16 {
        let [positive, negative] = self.ways.get(usize::from(axis)).copied().unwrap_or_default();
        if end == End::Positive { positive } else { negative }
    }

    /// Which axis this stick moves, once that is known.
    pub(super) fn mover(&self, axis: u8) -> Option<u8> {
        self.movers.get(usize::from(axis)).copied().filter(|_| self.known.contains(axis))
    }

    pub(super) fn is_reversed(&self, axis: u8) -> bool {
        self.reversed.contains(axis)
    }

    /// How far this stick is above its rest, seen on the axis that it moves.
    pub(super) fn off(&self, policy: &CheckedPolicy<N>, axis: u8) -> Deflection {
        let rest = policy.policy().axes.get(usize::from(axis)).map_or(Deflection::CENTRE, rest_of);
        at(&self.frame, self.mover(axis).unwrap_or(axis)).saturating_sub(rest)
    }

    /// The lowest of these axes that is further than so many points from its rest, and how far.
    pub(super) fn away(&self, policy: &CheckedPolicy<N>, axes: AxisSet, limit: u16) -> Option<(u8, Deflection)> {
        let sticks = (0..).zip(&policy.policy().axes).zip(self.frame.axes());
        let offs = sticks.map(|((axis, rule), x)| (axis, x.saturating_sub(rest_of(rule))));
        offs.into_iter().find(|(axis, off)| axes.contains(*axis) && off.magnitude() > limit)
    }
}

/// The deflection of an axis; the centre past the last.
fn at<const N: usize>(frame: &Frame<N>, axis: u8) -> Deflection {
    frame.get(axis).unwrap_or(Deflection::CENTRE)
}

/// How far a stick is expected to go from its rest to that end, nominally.
pub(super) fn nominal<const N: usize>(policy: &CheckedPolicy<N>, plan: &Plan, axis: u8, end: End) -> u16 {
    let rest = policy.policy().axes.get(usize::from(axis)).map_or(Deflection::CENTRE, rest_of);
    let rest = if plan.has_two_ends(axis) { rest } else { Deflection::CENTRE };
    let full = Deflection::FULL.to_bits();
    let end = if end == End::Positive { full } else { full.wrapping_neg() };
    Deflection::from_bits(end).distance(rest)
}

/// Both transmitters.
#[derive(Clone, Debug)]
pub(super) struct Hands<const N: usize> {
    pub(super) student: Hand<N>,
    pub(super) instructor: Hand<N>,
}

impl<const N: usize> Hands<N> {
    pub(super) const fn of(&self, side: Side) -> &Hand<N> {
        match side {
            Side::Student => &self.student,
            Side::Instructor => &self.instructor,
        }
    }

    pub(super) const fn of_mut(&mut self, side: Side) -> &mut Hand<N> {
        match side {
            Side::Student => &mut self.student,
            Side::Instructor => &mut self.instructor,
        }
    }
}
