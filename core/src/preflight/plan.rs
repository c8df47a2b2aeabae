//! The sequence under a policy: which sticks each side moves, where they rest, and which action follows which.

use super::sequence::Action;
use super::spot::{End, Side};
use crate::engine::Cause;
use crate::policy::{AxisRule, CheckedPolicy, Rest};
use crate::quantity::{AxisSet, Deflection, Frame};

/// A rest or failsafe at this distance from the centre or further is that of a stick without a spring: a parked
/// throttle.
const PARKED: u16 = Deflection::from_points(50).magnitude();

/// The parts of a policy that decide the sequence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Plan {
    /// The axes that the student moves: the shared ones.
    pub(super) student: AxisSet,
    /// The axes that the instructor moves: the watched ones and the shared ones.
    pub(super) instructor: AxisSet,
    /// The watched axes.
    pub(super) watched: AxisSet,
    /// The axes without a spring, whether or not the sequence asks for them.
    pub(super) unsprung: AxisSet,
    /// The axes without a spring that rest at one end; the sequence asks for the other end only.
    parked: AxisSet,
    /// The axes whose rest is above their centre.
    high: AxisSet,
    /// Whether there is an instructor-now button.
    button: bool,
}

/// The place of a stick that nobody moves: its fixed rest, else its safe place, which is the failsafe.
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

    /// The end that is asked for first: up or right, or the one away from a parked rest.
    pub(super) const fn first_end(&self, axis: u8) -> End {
        End::positive_if(!(self.parked.contains(axis) && self.high.contains(axis)))
    }

    /// Whether the stick rests between its ends.
    pub(super) const fn has_two_ends(&self, axis: u8) -> bool {
        !self.parked.contains(axis)
    }

    /// The first move of this stick.
    const fn begin(&self, side: Side, axis: u8) -> Action {
        Action::Move { side, axis, end: self.first_end(axis) }
    }

    /// The first move of the lowest axis from this one on, or the action after all moves.
    fn moves_from(&self, axis: u8) -> Action {
        match from(self.instructor, axis) {
            Some(axis) if self.student.contains(axis) => self.begin(Side::Student, axis),
            Some(axis) => self.begin(Side::Instructor, axis),
            // Without a shared axis there is nothing to hand over.
            None if self.student.is_empty() => Action::Done,
            None => Action::HandOver,
        }
    }

    /// The takeover by the lowest watched axis from this one on, or the action after all takeovers.
    fn takes_over_from(&self, axis: u8) -> Action {
        let after = Action::Again { after: Cause::SwitchOff };
        from(self.watched, axis).map_or(after, |axis| Action::TakeOver { axis })
    }

    /// The action after this one; `kept` where the craft stays with the instructor until the switch has been off.
    pub(super) fn next(&self, action: Action, kept: bool) -> Action {
        match action {
            Action::Start => self.moves_from(0),
            Action::Move { side, axis, end } if end == self.first_end(axis) && self.has_two_ends(axis) => {
                // A stick that rests between its ends begins with the positive one.
                Action::Move { side, axis, end: End::Negative }
            }
            Action::Move { side, axis, .. } => Action::Return { side, axis },
            Action::Return { side: Side::Student, axis } => self.begin(Side::Instructor, axis),
            Action::Return { side: Side::Instructor, axis } => self.moves_from(axis.saturating_add(1)),
            Action::HandOver => self.takes_over_from(0),
            Action::TakeOver { axis } => Action::HandBack { axis },
            Action::HandBack { axis } if kept => Action::Again { after: Cause::Stick(axis) },
            Action::HandBack { axis } | Action::Again { after: Cause::Stick(axis) } => {
                self.takes_over_from(axis.saturating_add(1))
            }
            Action::Again { after: Cause::SwitchOff } => Action::LinkOff,
            Action::LinkOff => Action::LinkOn,
            Action::LinkOn if kept => Action::Again { after: Cause::LinkLost },
            Action::LinkOn | Action::Again { after: Cause::LinkLost } if self.button => Action::Press,
            Action::Press => Action::Again { after: Cause::InstructorNow },
            Action::LinkOn | Action::Again { .. } => Action::Finish,
            Action::Finish | Action::Done => Action::Done,
        }
    }

    /// The frame with every axis without a spring at its safe place.
    pub(super) fn pinned<const N: usize>(&self, policy: &CheckedPolicy<N>, frame: &Frame<N>) -> Frame<N> {
        let mut pinned = *frame;
        pinned.take(self.unsprung, &policy.failsafe_frame());
        pinned
    }
}

/// The lowest axis of the set from this one on.
fn from(set: AxisSet, axis: u8) -> Option<u8> {
    set.except(AxisSet::first(usize::from(axis))).lowest()
}
