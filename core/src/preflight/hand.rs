//! One side's sticks: their positions, how long they have been still, and which of them moved how far.

use super::plan::{Plan, rest_of};
use super::spot::{End, Side};
use crate::engine::Reception;
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Deflection, Frame};

/// A stick counts as moved beyond this distance: more than noise, trim or an accidental touch, less than the shortest
/// useful throw. Own choice.
const MOVED: u16 = Deflection::from_points(30).magnitude();
/// Sticks are still while none moves by more than this, which is more than noise at rest.
const STILL: u16 = Deflection::from_points(3).magnitude();

/// The sticks of one transmitter.
#[derive(Clone, Debug)]
pub(super) struct Hand<const N: usize> {
    /// The last good frame.
    pub(super) frame: Frame<N>,
    /// The time for which all sticks have been within `STILL` of `mark`, in microseconds.
    pub(super) still: u32,
    mark: Frame<N>,
    /// The positions when the present stick was first asked for, and the extreme positions since then.
    base: Frame<N>,
    low: Frame<N>,
    high: Frame<N>,
    /// The axis that each stick moves; valid for the sticks in `known`.
    movers: [u8; N],
    known: AxisSet,
    /// The sticks that move their axis in the opposite direction.
    reversed: AxisSet,
    /// The distance of each stick's positive and negative end from its rest, in units.
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

    /// Takes the frame of a step, if a good one came. Returns whether it differs from the good one before it.
    pub(super) fn take(&mut self, frame: Option<&Frame<N>>, reception: Reception, dt: u32) -> bool {
        self.still = self.still.saturating_add(dt);
        let Some(frame) = frame.filter(|_| reception == Reception::Good) else { return false };
        let changed = self.frame != *frame;
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
        changed
    }

    /// A stick is asked for: begins to measure how far it goes.
    pub(super) fn begin(&mut self) {
        (self.base, self.low, self.high) = (self.frame, self.frame, self.frame);
    }

    /// The axis that has moved: the one asked for, or else the one that moved furthest.
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

    /// The stick that was asked for holds its first end: learns its axis and direction.
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
        let mover = self.mover(asked).unwrap_or(asked);
        let (x, base) = (at(&self.frame, mover), at(&self.base, mover));
        let up = (end == End::Positive) != self.is_reversed(asked);
        x.distance(base) > MOVED && (x > base) == up
    }

    /// The stick is back: measures how far it went from its rest, or from the centre if it is parked at an end.
    pub(super) fn measure(&mut self, asked: u8, plan: &Plan) {
        let mover = self.mover(asked).unwrap_or(asked);
        let from = if plan.has_two_ends(asked) { at(&self.base, mover) } else { Deflection::CENTRE };
        let (up, down) = (at(&self.high, mover).distance(from), at(&self.low, mover).distance(from));
        let reversed = self.is_reversed(asked);
        if let Some(ways) = self.ways.get_mut(usize::from(asked)) {
            *ways = if reversed { [down, up] } else { [up, down] };
        }
    }

    /// The distance that this stick went to that end, in units; 0 if it was not asked for.
    pub(super) fn way(&self, axis: u8, end: End) -> u16 {
        let [positive, negative] = self.ways.get(usize::from(axis)).copied().unwrap_or_default();
        if end == End::Positive { positive } else { negative }
    }

    /// The axis that this stick moves; `None` until that is known.
    pub(super) fn mover(&self, axis: u8) -> Option<u8> {
        self.movers.get(usize::from(axis)).copied().filter(|_| self.known.contains(axis))
    }

    pub(super) fn is_reversed(&self, axis: u8) -> bool {
        self.reversed.contains(axis)
    }

    /// The signed distance of this stick from its rest, on the axis that it moves.
    pub(super) fn off(&self, policy: &CheckedPolicy<N>, axis: u8) -> Deflection {
        let rest = policy.policy().axes.get(usize::from(axis)).map_or(Deflection::CENTRE, rest_of);
        at(&self.frame, self.mover(axis).unwrap_or(axis)).saturating_sub(rest)
    }

    /// The lowest of these axes that is further than `limit` units from its rest, and its signed distance.
    pub(super) fn away(&self, policy: &CheckedPolicy<N>, axes: AxisSet, limit: u16) -> Option<(u8, Deflection)> {
        let sticks = (0..).zip(&policy.policy().axes).zip(self.frame.axes());
        let offs = sticks.map(|((axis, rule), x)| (axis, x.saturating_sub(rest_of(rule))));
        offs.into_iter().find(|(axis, off)| axes.contains(*axis) && off.magnitude() > limit)
    }
}

/// The deflection of an axis; the centre past the last axis.
fn at<const N: usize>(frame: &Frame<N>, axis: u8) -> Deflection {
    frame.get(axis).unwrap_or(Deflection::CENTRE)
}

/// The nominal distance of that end from the stick's rest, in units.
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
