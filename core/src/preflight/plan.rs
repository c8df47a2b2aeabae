//! What a policy makes of the sequence: which sticks each side moves, where they rest, which stay where they are put.

use super::sequence::Action;
use super::spot::{End, Side};
use crate::policy::{AxisRule, CheckedPolicy, Rest};
use crate::quantity::{AxisSet, Deflection, Frame};

/// A rest or failsafe further out than this is that of a stick without a spring: a throttle that is parked.
const PARKED: u16 = Deflection::from_points(50).magnitude();

/// The policy, as far as the sequence goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Plan {
    /// The axes that the student moves: the shared ones.
    pub(super) student: AxisSet,
    /// The axes that the instructor moves: the watched ones and the shared ones.
    pub(super) instructor: AxisSet,
    /// The watched axes.
    pub(super) watched: AxisSet,
    /// The axes without a spring, whether or not anyone is asked to move them.
    pub(super) unsprung: AxisSet,
    /// Of these the ones that rest at an end, and so have one other.
    parked: AxisSet,
    /// The axes whose rest is above their centre.
    high: AxisSet,
    /// Whether there is an instructor-now button.
    pub(super) button: bool,
}

/// Where a stick is to be when nobody moves it: its fixed rest, else the safe place, which is the failsafe.
pub(super) const fn rest_of(rule: &AxisRule) -> Deflection {
    match rule.rest {
        Rest::At(rest) => rest,
        Rest::WhereLeft { .. } => rule.failsafe,
    }
}

impl Plan {
    pub(super) const fn of<const N: usize>(policy: &CheckedPolicy<N>, button: bool) -> Self {
        let policy = policy.policy();
        let (student, watched) = (policy.shared, policy.watched);
        let instructor = AxisSet::from_bits(student.to_bits() | watched.to_bits());
        let (mut unsprung, mut parked, mut high) = (AxisSet::EMPTY, AxisSet::EMPTY, AxisSet::EMPTY);
        let (mut axis, mut rules) = (0, policy.axes.as_slice());
        while let [rule, rest @ ..] = rules {
            let place = rest_of(rule);
            let ends = place.magnitude() >= PARKED;
            let stays = matches!(rule.rest, Rest::WhereLeft { .. }) || rule.failsafe.magnitude() >= PARKED;
            parked = parked.with_if(axis, ends);
            unsprung = unsprung.with_if(axis, ends || stays);
            high = high.with_if(axis, place.to_bits() > 0);
            axis = axis.saturating_add(1);
            rules = rest;
        }
        Self { student, instructor, watched, unsprung, parked, high, button }
    }

    /// The axes that this side moves.
    pub(super) const fn moved_by(&self, side: Side) -> AxisSet {
        match side {
            Side::Student => self.student,
            Side::Instructor => self.instructor,
        }
    }

    /// The axes that must be at rest on this side before anything begins.
    pub(super) fn rests_on(&self, side: Side) -> AxisSet {
        match side {
            Side::Student => self.student,
            Side::Instructor => self.instructor | self.unsprung,
        }
    }

    /// The end to which a stick goes first: up or right, or away from where it is parked.
    pub(super) const fn first_end(&self, axis: u8) -> End {
        End::positive_if(!(self.parked.contains(axis) && self.high.contains(axis)))
    }

    /// Whether the stick rests between its ends.
    pub(super) const fn has_two_ends(&self, axis: u8) -> bool {
        !self.parked.contains(axis)
    }

    /// The first move of this stick.
    pub(super) const fn begin(&self, side: Side, axis: u8) -> Action {
        Action::Move { side, axis, end: self.first_end(axis) }
    }

    /// The moves of the first axis from this one on, or what follows when all have been moved.
    pub(super) fn moves_from(&self, axis: u8) -> Action {
        match from(self.instructor, axis) {
            Some(axis) if self.student.contains(axis) => self.begin(Side::Student, axis),
            Some(axis) => self.begin(Side::Instructor, axis),
            // Without a shared axis there is nothing to hand over.
            None if self.student.is_empty() => Action::Done,
            None => Action::HandOver,
        }
    }

    /// The takeover by the first watched axis from this one on, or what follows when all have taken over.
    pub(super) fn takes_over_from(&self, axis: u8) -> Action {
        let after = Action::Again { after: crate::engine::Cause::SwitchOff };
        from(self.watched, axis).map_or(after, |axis| Action::TakeOver { axis })
    }

    /// The frame with every axis without a spring at its safe place.
    pub(super) fn pinned<const N: usize>(&self, policy: &CheckedPolicy<N>, frame: &Frame<N>) -> Frame<N> {
        let mut pinned = *frame;
        pinned.take(self.unsprung, &policy.failsafe_frame());
        pinned
    }
}

/// The first axis of the set from this one on.
fn from(set: AxisSet, axis: u8) -> Option<u8> {
    set.except(AxisSet::first(usize::from(axis))).lowest()
}
