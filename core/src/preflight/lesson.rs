//! The actions of a lesson: switch, takeovers, link and button.
//!
//! Each is judged by the engine's outcome: the takeover is seen, the craft goes back or is kept. The rules of a single
//! step are the engine's.

use core::borrow::Borrow;

use super::facts::Facts;
use super::finding::Finding;
use super::guide::{Judgement, PATIENCE, Preflight};
use super::sequence::Action;
use super::spot::Side;
use crate::engine::{Inputs, Link, Outcome, Pilot, Waiting};
use crate::policy::CheckedPolicy;

/// Added to the policy's durations: the time for which a kept craft must stay with the instructor, in microseconds.
const KEPT: u32 = 300_000;
/// A link whose frames have not changed for this long while its transmitter should be off repeats its last frame, in
/// microseconds: half of the patience, so that whoever turns it off late is not accused. Own choice.
const REPEATS: u32 = PATIENCE / 2;
/// Added to the policy's durations: the time that a hand-over may take, since frames are late and switches bounce, in
/// microseconds.
const GRACE: u32 = 1_000_000;

impl<const N: usize, P: Borrow<CheckedPolicy<N>>> Preflight<N, P> {
    pub(super) fn judge_lesson(
        &mut self,
        inputs: &Inputs<'_, N>,
        outcome: &Outcome<N>,
        now: Facts,
    ) -> Option<Judgement> {
        match self.step {
            Action::TakeOver { axis } => self.judge_takeover(axis, outcome),
            Action::HandBack { axis } => self.judge_hand_back(axis, outcome, now),
            Action::HandOver => self.judge_on(inputs.lesson_switch, outcome, now),
            Action::Again { .. } => {
                self.half |= now.off;
                self.judge_on(self.half && inputs.lesson_switch, outcome, now)
            }
            Action::LinkOff => {
                self.count(!now.changed, now);
                self.judge_link_off(outcome)
            }
            Action::LinkOn => {
                self.count(outcome.link == Link::Good, now);
                self.judge_result(outcome, now)
            }
            Action::Press => {
                self.half |= inputs.instructor_now;
                self.count(self.half && !inputs.instructor_now, now);
                self.seen(self.done >= self.kept_for())
            }
            Action::Finish => self.seen(!inputs.lesson_switch),
            _ => None,
        }
    }

    /// The link is lost. A link that stays good while its frames never change is that of a receiver which repeats its last
    /// frame (L4).
    fn judge_link_off(&self, outcome: &Outcome<N>) -> Option<Judgement> {
        match self.seen(outcome.link != Link::Good) {
            Some(Judgement::Failed(_)) if self.done >= REPEATS => Some(Judgement::Failed(Finding::LinkRepeats)),
            judgement => judgement,
        }
    }

    /// The switch is on, after it was off if that was asked for: the student gets the craft.
    fn judge_on(&mut self, on: bool, outcome: &Outcome<N>, now: Facts) -> Option<Judgement> {
        self.count(on, now);
        if self.done > 0 && has_all(outcome) {
            return Some(Judgement::Done);
        }
        self.judge_wait(outcome)
    }

    fn judge_takeover(&mut self, axis: u8, outcome: &Outcome<N>) -> Option<Judgement> {
        let mover = self.hands.instructor.mover(axis).filter(|&mover| self.plan.watched.contains(mover));
        let Some(mover) = mover else {
            let known = self.list.all().iter().copied().find(|finding| match *finding {
                Finding::DoesNotMove { side: Side::Instructor, axis: found } => found == axis,
                Finding::Swapped { side: Side::Instructor, axis: found, with } => found == axis || with == axis,
                _ => false,
            });
            return Some(known.map_or(Judgement::Failed(Finding::NotSeen { step: self.step }), Judgement::Prevented));
        };
        self.seen(outcome.held.contains(mover) && !outcome.pilot.student().contains(mover))
    }

    fn judge_hand_back(&mut self, axis: u8, outcome: &Outcome<N>, now: Facts) -> Option<Judgement> {
        let held = self.hands.instructor.mover(axis).is_some_and(|mover| outcome.held.contains(mover));
        self.count(self.is_near(Side::Instructor, axis) && !held, now);
        if self.done == 0 && self.age > self.patience() {
            let by = self.hands.instructor.off(self.policy.borrow(), axis);
            return Some(match self.explained(outcome.waiting) {
                Some(finding) => Judgement::Prevented(finding),
                None if self.is_near(Side::Instructor, axis) => Judgement::Failed(Finding::NotSeen { step: self.step }),
                None => Judgement::Failed(self.not_back(Side::Instructor, axis, by)),
            });
        }
        self.judge_result(outcome, now)
    }

    /// The action is done: a craft that is kept stays with the instructor, else the student gets it.
    fn judge_result(&self, outcome: &Outcome<N>, now: Facts) -> Option<Judgement> {
        let enough = if now.kept { self.done >= self.kept_for() } else { self.done > 0 && has_all(outcome) };
        if enough { Some(Judgement::Done) } else { self.judge_wait(outcome) }
    }

    /// There is no result yet: fails once the time is over.
    fn judge_wait(&self, outcome: &Outcome<N>) -> Option<Judgement> {
        if self.done > self.durations().saturating_add(GRACE) {
            let waiting = outcome.waiting;
            let failed = Judgement::Failed(Finding::NotHandedOver { waiting });
            return Some(self.explained(waiting).map_or(failed, Judgement::Prevented));
        }
        if self.done == 0 { self.seen(false) } else { None }
    }

    /// Done if it was seen; fails once the time is over.
    fn seen(&self, seen: bool) -> Option<Judgement> {
        if seen {
            return Some(Judgement::Done);
        }
        (self.age > self.patience()).then_some(Judgement::Failed(Finding::NotSeen { step: self.step }))
    }

    /// Counts the time for which the action has been done; a break sets it to 0.
    fn count(&mut self, done: bool, now: Facts) {
        self.done = if done { self.done.saturating_add(now.dt.max(1)) } else { 0 };
    }

    /// The time after which the action fails, durations of the policy included, in microseconds.
    fn patience(&self) -> u32 {
        let axis = self.step.axis().map_or(0, |axis| self.stays(axis));
        let policy = self.policy.borrow().policy();
        PATIENCE
            .saturating_add(self.durations())
            .saturating_add(policy.timeout.as_ticks())
            .saturating_add(policy.frozen_after.map_or(0, |frozen_after| frozen_after.as_ticks()))
            .saturating_add(axis)
    }

    /// The longest time between the action and the hand-over by the policy, in microseconds.
    fn durations(&self) -> u32 {
        let policy = self.policy.borrow().policy();
        [policy.settle, policy.dwell, policy.requalify].iter().fold(0, |all, d| u32::saturating_add(all, d.as_ticks()))
    }

    /// The time for which a kept craft must stay with the instructor, in microseconds.
    fn kept_for(&self) -> u32 {
        self.durations().saturating_add(KEPT)
    }

    /// The earlier finding that explains why the engine waits for this.
    fn explained(&self, waiting: Option<Waiting>) -> Option<Finding> {
        let moves = |side, axis, moved| self.hands.of(side).mover(axis) == Some(moved);
        self.list.all().iter().copied().find(|finding| match (waiting, *finding) {
            (Some(Waiting::Held(held)), Finding::CentreOff { side: Side::Instructor, axis, .. }) => {
                moves(Side::Instructor, axis, held)
            }
            (Some(Waiting::Gate(gate)), Finding::CentreOff { side, axis, .. }) => moves(side, axis, gate),
            (Some(Waiting::Held(held)), Finding::ThrottleUp { side: Side::Instructor, axis, .. }) => axis == held,
            (Some(Waiting::Gate(gate)), Finding::ThrottleUp { axis, .. }) => axis == gate,
            (
                Some(Waiting::InstructorSignal | Waiting::StudentLink { .. } | Waiting::SwitchOffFirst),
                Finding::SignalLost { .. },
            ) => true,
            _ => false,
        })
    }
}

/// Whether the student flies every shared axis (A2).
fn has_all<const N: usize>(outcome: &Outcome<N>) -> bool {
    outcome.waiting.is_none() && matches!(outcome.pilot, Pilot::Student(_))
}
