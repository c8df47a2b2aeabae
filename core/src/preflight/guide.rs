//! The state machine: which action is asked for, when it is over, and which one follows.

use core::borrow::Borrow;

use super::facts::{self, Facts, History};
use super::finding::Finding;
use super::gate::{Obstacle, SAFE, obstacle};
use super::hand::{Hand, Hands};
use super::list::List;
use super::plan::Plan;
use super::sequence::Action;
use super::spot::Side;
use crate::engine::{Inputs, Outcome};
use crate::policy::CheckedPolicy;
use crate::quantity::{AxisSet, Deflection, Frame};

/// The time after which an action that is not seen fails, in microseconds. Durations of the policy are added.
pub(super) const PATIENCE: u32 = 20_000_000;

/// The result of an action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Verdict {
    /// No fault.
    Passed,
    /// It showed this fault first; [`Preflight::findings`] has them all.
    Failed(Finding),
    /// It could not be judged because of this fault, which an earlier action showed.
    Prevented(Finding),
}

/// What to do now, and the result of the action that ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PreflightProgress<const N: usize> {
    /// What is asked for now.
    pub step: Action,
    /// Whether that begins in this step of the engine: for a beep, or an announcement.
    pub begun: bool,
    /// The action that ended in this step, and its result.
    pub ended: Option<(Action, Verdict)>,
    /// Before the start, the reason why the check does not begin.
    pub obstacle: Option<Obstacle>,
    /// What to send to the craft: the engine's output, with every axis without a spring at its failsafe.
    pub output: Frame<N>,
}

/// The check of a bench: guides two people through the sequence, and judges inputs and outcomes of the engine.
///
/// Propellers off, and the craft held: all axes but the throttle move. A failed action does not end the check, so that
/// one session finds every fault. Each action ends: it is seen, or its time is over.
#[derive(Clone, Debug)]
pub struct Preflight<const N: usize, P = &'static CheckedPolicy<N>> {
    pub(super) policy: P,
    pub(super) plan: Plan,
    pub(super) step: Action,
    begun: bool,
    /// The times since the action was asked for, and since it has been done without a break, in microseconds.
    pub(super) age: u32,
    pub(super) done: u32,
    /// The first half of the action has been seen: the switch off, the button pressed.
    pub(super) half: bool,
    pub(super) hands: Hands<N>,
    history: History,
    /// The share of full travel that each of the student's sticks is meant to have.
    pub(super) throws: [Deflection; N],
    pub(super) list: List,
    /// The number of findings when the action began.
    noted: usize,
}

/// How an action ends.
#[derive(Clone, Copy, Debug)]
pub(super) enum Judgement {
    /// It was done; it passes unless something was found meanwhile.
    Done,
    Failed(Finding),
    Prevented(Finding),
}

impl<const N: usize, P: Borrow<CheckedPolicy<N>>> Preflight<N, P> {
    /// A check before its start, with a policy that it borrows or owns. Make it together with the engine, and give it
    /// every step of the engine. Drop it after [`Action::Done`]: its output keeps the axes without a spring at
    /// their failsafe even then.
    pub fn new(policy: P) -> Self {
        Self {
            plan: Plan::of(policy.borrow(), true),
            policy,
            step: Action::Start,
            begun: true,
            age: 0,
            done: 0,
            half: false,
            hands: Hands { student: Hand::new(), instructor: Hand::new() },
            history: History::new(),
            throws: [Deflection::FULL; N],
            list: List::new(),
            noted: 0,
        }
    }

    /// The same check for a box without an instructor-now button.
    #[must_use]
    pub fn without_button(self) -> Self {
        let plan = Plan::of(self.policy.borrow(), false);
        Self { plan, ..self }
    }

    /// The same check for a student whose sticks are meant to have these shares of full travel: the rates of a
    /// beginner's channels. A stick with less than 30 points counts as one that does not move.
    #[must_use]
    pub fn with_student_throws(self, throws: [Deflection; N]) -> Self {
        Self { throws, ..self }
    }

    /// One step: the engine's inputs and its outcome.
    #[must_use = "the output is what the craft must be sent"]
    pub fn step(&mut self, inputs: Inputs<'_, N>, outcome: &Outcome<N>) -> PreflightProgress<N> {
        let now = self.history.step(self.policy.borrow(), &inputs, outcome);
        let changed = self.hands.student.take(inputs.student, outcome.student, now.dt);
        let now = Facts { changed, ..now };
        let _ = self.hands.instructor.take(inputs.instructor, outcome.instructor, now.dt);
        self.age = self.age.saturating_add(now.dt);
        let obstacle = match self.step {
            Action::Start => obstacle(self.policy.borrow(), &self.plan, &self.hands, &inputs, outcome),
            _ => None,
        };
        self.guard(outcome);
        let end = match self.step {
            Action::Start => obstacle.is_none().then_some(Judgement::Done),
            Action::Move { side, axis, end } => self.judge_move(side, axis, end),
            Action::Return { side, axis } => self.judge_return(side, axis, outcome),
            _ => self.judge_lesson(&inputs, outcome, now),
        };
        let ended = end.map(|end| self.go_on(end, now));
        let begun = core::mem::replace(&mut self.begun, false);
        PreflightProgress {
            step: self.step,
            begun,
            ended,
            obstacle,
            output: self.plan.pinned(self.policy.borrow(), &outcome.output),
        }
    }

    /// What is asked for now.
    pub const fn asked(&self) -> Action {
        self.step
    }

    /// The findings so far, each fault once, in the order in which they showed.
    pub fn findings(&self) -> &[Finding] {
        self.list.all()
    }

    /// The number of findings that found no room.
    pub const fn untold(&self) -> u16 {
        self.list.untold()
    }

    /// Whether the sequence is through and nothing was found.
    pub fn passed(&self) -> bool {
        self.step == Action::Done && self.list.all().is_empty()
    }

    /// The axes without a spring, which output their failsafe as long as the check lasts.
    pub const fn pinned(&self) -> AxisSet {
        self.plan.unsprung
    }

    /// Ends the action: its result, and the next one.
    fn go_on(&mut self, end: Judgement, now: Facts) -> (Action, Verdict) {
        let step = self.step;
        if let Judgement::Failed(finding) = end {
            self.list.note(finding);
        }
        let found = self.list.all().get(self.noted).copied();
        let verdict = match end {
            Judgement::Done => found.map_or(Verdict::Passed, Verdict::Failed),
            Judgement::Failed(finding) => Verdict::Failed(finding),
            Judgement::Prevented(finding) => Verdict::Prevented(finding),
        };
        self.step = match (step, end) {
            (Action::Start, _) => self.plan.next(step, false),
            // A stick that does not move has no other end, and need not return.
            (Action::Move { side, axis, .. }, Judgement::Failed(Finding::DoesNotMove { .. })) => {
                self.plan.next(Action::Return { side, axis }, false)
            }
            // Without the craft the student cannot lose it.
            (Action::HandOver, Judgement::Failed(_) | Judgement::Prevented(_)) => Action::Finish,
            _ => self.plan.next(step, now.kept),
        };
        if let Action::Move { side, axis, end } = self.step
            && end == self.plan.first_end(axis)
        {
            self.hands.of_mut(side).begin();
        }
        (self.begun, self.half, self.age, self.done, self.noted) = (true, false, 0, 0, self.list.all().len());
        (step, verdict)
    }

    /// In every step: notes a signal that is lost, and a throttle that is up, unless that is asked for.
    fn guard(&mut self, outcome: &Outcome<N>) {
        if matches!(self.step, Action::Start | Action::Done) {
            return;
        }
        let asked = matches!(self.step, Action::LinkOff | Action::LinkOn);
        if let Some(side) = facts::lost(outcome)
            && !(side == Side::Student && (asked || self.plan.student.is_empty()))
        {
            self.list.note(Finding::SignalLost { side });
        }
        for side in [Side::Instructor, Side::Student] {
            let axes = (self.plan.rests_on(side) & self.plan.unsprung).except(self.on_turn(side));
            if let Some((axis, by)) = self.hands.of(side).away(self.policy.borrow(), axes, SAFE) {
                self.list.note(Finding::ThrottleUp { side, axis, by });
            }
        }
    }

    /// The axis that this side is asked to move, and the axis that its stick moves.
    fn on_turn(&self, side: Side) -> AxisSet {
        let (Some(whose), Some(axis)) = (self.step.side(), self.step.axis()) else { return AxisSet::EMPTY };
        if whose != side {
            return AxisSet::EMPTY;
        }
        let hand = self.hands.of(side);
        let moves = if matches!(self.step, Action::Move { .. }) { hand.moved(axis) } else { hand.mover(axis) };
        // Until the stick has moved far enough it may move any axis.
        moves.map_or(AxisSet::ALL, |moves| AxisSet::EMPTY.with(axis).with(moves))
    }
}
