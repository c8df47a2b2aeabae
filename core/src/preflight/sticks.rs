//! The actions in which one stick moves: its axis, direction, ends and rest.

use core::borrow::Borrow;

use super::finding::Finding;
use super::gate::{NEAR, REST, SAFE};
use super::guide::{Judgement, PATIENCE, Preflight};
use super::hand::nominal;
use super::spot::{End, Side};
use crate::engine::Outcome;
use crate::policy::{CheckedPolicy, Rest};
use crate::quantity::Deflection;

/// The time for which a stick must be held at an end, in microseconds.
const HOLD: u32 = 300_000;
/// The longest time for which a stick that is back may still count as held, in microseconds.
const LETS_GO: u32 = 1_000_000;
/// A centre that is off by more than this is a finding: half of the 5 points that must be found, more than the play of
/// a sound spring. Own choice.
const CENTRE: u16 = Deflection::from_centipoints(250).magnitude();

impl<const N: usize, P: Borrow<CheckedPolicy<N>>> Preflight<N, P> {
    pub(super) fn judge_move(&mut self, side: Side, axis: u8, end: End) -> Option<Judgement> {
        let first = end == self.plan.first_end(axis);
        let hand = self.hands.of_mut(side);
        let held = hand.still >= HOLD;
        if first {
            if let Some(mover) = hand.moved(axis).filter(|_| held) {
                hand.learn(axis, mover, end);
                let reversed = hand.is_reversed(axis);
                if mover != axis {
                    self.list.note(Finding::Swapped { side, axis, with: mover });
                }
                if reversed {
                    self.list.note(Finding::Reversed { side, axis });
                }
                return Some(Judgement::Done);
            }
        } else if held && hand.is_at_other_end(axis, end) {
            return Some(Judgement::Done);
        }
        if self.age <= PATIENCE {
            return None;
        }
        if first {
            return Some(Judgement::Failed(Finding::DoesNotMove { side, axis }));
        }
        hand.measure(axis, &self.plan);
        Some(self.short(side, axis, end).map_or(Judgement::Done, Judgement::Failed))
    }

    pub(super) fn judge_return(&mut self, side: Side, axis: u8, outcome: &Outcome<N>) -> Option<Judgement> {
        let hand = self.hands.of_mut(side);
        let by = hand.off(self.policy.borrow(), axis);
        let held = side == Side::Instructor && hand.mover(axis).is_some_and(|mover| outcome.held.contains(mover));
        let (rests, still) = (self.is_near(side, axis), self.stays(axis));
        let hand = self.hands.of_mut(side);
        let limit = if held { REST.saturating_add(LETS_GO).saturating_add(still) } else { REST };
        let back = rests && hand.still >= limit;
        if !back && self.age <= PATIENCE.saturating_add(still) {
            return None;
        }
        hand.measure(axis, &self.plan);
        if !back {
            return Some(Judgement::Failed(self.not_back(side, axis, by)));
        }
        // A stick that rests beyond `release` is never let go, however small the distance is.
        let rule = self.policy.borrow().policy().axes.get(usize::from(axis));
        let kept = held
            && rule.is_some_and(|rule| matches!(rule.rest, Rest::At(_)) && by.magnitude() > rule.release.magnitude());
        if by.magnitude() > CENTRE || kept {
            self.list.note(Finding::CentreOff { side, axis, by });
        }
        self.note_short(side, axis);
        if side == Side::Instructor && self.plan.student.contains(axis) {
            self.note_short(Side::Student, axis);
        }
        Some(Judgement::Done)
    }

    /// The finding for a stick that did not return when asked.
    pub(super) fn not_back(&self, side: Side, axis: u8, by: Deflection) -> Finding {
        if self.plan.unsprung.contains(axis) {
            Finding::ThrottleUp { side, axis, by }
        } else {
            Finding::CentreOff { side, axis, by }
        }
    }

    /// Whether this stick is close enough to its rest that nobody holds it.
    pub(super) fn is_near(&self, side: Side, axis: u8) -> bool {
        let limit = if self.plan.unsprung.contains(axis) { SAFE } else { NEAR };
        self.hands.of(side).off(self.policy.borrow(), axis).magnitude() <= limit
    }

    /// The time that a stick must stay until its axis becomes free, in microseconds; 0 for a fixed rest.
    pub(super) fn stays(&self, axis: u8) -> u32 {
        match self.policy.borrow().policy().axes.get(usize::from(axis)).map(|rule| rule.rest) {
            Some(Rest::WhereLeft { still }) => still.as_ticks(),
            _ => 0,
        }
    }

    fn note_short(&mut self, side: Side, axis: u8) {
        for end in [End::Positive, End::Negative] {
            if (end == self.plan.first_end(axis) || self.plan.has_two_ends(axis))
                && let Some(finding) = self.short(side, axis, end)
            {
                self.list.note(finding);
            }
        }
    }

    /// A throw that is more than a tenth shorter than full travel or than the other transmitter's (own choice).
    fn short(&self, side: Side, axis: u8, end: End) -> Option<Finding> {
        let hand = self.hands.of(side);
        hand.mover(axis)?;
        let seen = hand.way(axis, end);
        let other = self.hands.of(side.other()).way(axis, end);
        let full = nominal(self.policy.borrow(), &self.plan, axis, end).max(other);
        let expected = if side == Side::Student { self.meant(axis, full) } else { full };
        let short = u32::from(seen).wrapping_mul(10) < u32::from(expected).wrapping_mul(9);
        short.then(|| Finding::ThrowShort { side, axis, end, seen: length(seen), expected: length(expected) })
    }

    /// The part of this distance that the student's stick is meant to have.
    fn meant(&self, axis: u8, way: u16) -> u16 {
        let throw = self.throws.get(usize::from(axis)).map_or(1 << 14, |throw| u32::from(throw.magnitude()));
        u16::try_from(u32::from(way).wrapping_mul(throw) >> 14).unwrap_or(u16::MAX)
    }
}

/// A distance as a deflection; saturates.
fn length(units: u16) -> Deflection {
    Deflection::from_bits(i16::try_from(units).unwrap_or(i16::MAX))
}
