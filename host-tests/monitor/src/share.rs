//! Which axes the student flies: what takes them, and when they join (T2, T4, T5, H1, H3).

use handback::{AxisSet, Duration, Frame, Pilot, Policy, Scope};

use crate::broken::Judge;
use crate::normal::Rebase;
use crate::signals::Heard;
use crate::sticks::Touched;
use crate::switch::Position;
use crate::{Step, apart};

/// Why the student has nothing in this step: the rules, and the reason in words.
pub(crate) type Reason = (&'static [&'static str], &'static str);

#[derive(Clone, Debug, Default, Hash)]
pub(crate) struct Share {
    /// Since when everything has been in order (H1).
    in_order: Option<u64>,
}

/// What H1 and H3 still ask for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Missing {
    /// What is missing of the dwell, unless the dwell is over.
    pub(crate) dwell: Option<Duration>,
    /// The axes that the student has not and whose gates are closed.
    pub(crate) gates: AxisSet,
}

/// Everything that T4 names and that is so in this step.
pub(crate) fn reasons<const N: usize>(
    step: &Step<'_, N>,
    heard: Heard,
    switch: Position,
    latched: bool,
) -> Vec<Reason> {
    let all: [(bool, Reason); 11] = [
        (heard.late_step, (&["T4", "K1"], "the step is late")),
        (heard.was_lost, (&["T4", "I1", "I2"], "the instructor's signal is lost")),
        (step.inputs.instructor_now, (&["T4", "T7"], "instructor now is asked for")),
        (heard.bad, (&["T4"], "a bad instructor's frame came")),
        (!switch.on, (&["T4", "S3"], "the lesson switch is off")),
        (switch.on && !switch.settled, (&["T4", "S3"], "the lesson switch has not settled")),
        (!switch.off_first, (&["T4", "S2"], "the lesson switch has not been seen off first")),
        (latched, (&["T4", "H2"], "the latch is on")),
        (heard.link_frozen, (&["T4", "L4", "L3"], "the student link is frozen")),
        (heard.link_was_lost && !heard.link_frozen, (&["T4", "L1", "L3"], "the student link is lost")),
        (!heard.link_was_lost && !heard.link_good, (&["T4", "L2"], "the student link has not qualified")),
    ];
    all.into_iter().filter_map(|(is, reason)| is.then_some(reason)).collect()
}

impl Share {
    pub(crate) fn normalise<const N: usize>(&mut self, policy: &Policy<N>, rebase: Rebase) {
        rebase.grants(&mut self.in_order, policy.dwell);
    }

    pub(crate) fn step<const N: usize>(
        &mut self,
        step: &Step<'_, N>,
        t4: &[Reason],
        touched: Touched,
        students: &Frame<N>,
        judge: &mut Judge,
    ) -> Missing {
        let held = step.outcome.held;
        judge_taking(step, t4, touched.became_held, judge);
        let in_order = t4.is_empty() && !step.takes_all(held) && !touched.changed;
        self.in_order = in_order.then(|| self.in_order.unwrap_or(step.now));
        let dwelt = step.lasted(self.in_order, step.policy.dwell);
        let gates = closed_gates(step, students);
        judge_growing(step, touched.settled && dwelt, gates, judge);
        Missing { dwell: (!dwelt).then(|| step.left(self.in_order, step.policy.dwell)), gates }
    }
}

/// What must be taken is taken, and nothing else (T2, T4, T5).
fn judge_taking<const N: usize>(step: &Step<'_, N>, t4: &[Reason], became_held: AxisSet, judge: &mut Judge) {
    let (has, held) = (step.has, step.outcome.held);
    judge.hold(step.outcome.pilot != Pilot::Student(AxisSet::EMPTY), &["T4"], || {
        "the instructor to fly where the student has no axis".into()
    });
    for (rules, why) in t4 {
        judge.hold(has.is_empty(), rules, || format!("the student to have nothing, not {has:?}: {why}"));
    }
    let (taken, now_taken) = (step.taken_by(held), step.taken_by(became_held));
    judge.hold(!has.meets(now_taken), &["T2", "T5"], || {
        format!("the axes {became_held:?} to take {now_taken:?} in this step; the student has {has:?}")
    });
    judge.hold(!has.meets(taken), &["T5"], || format!("the held axes {held:?} to take {taken:?}, not left {has:?}"));
    let keeps = if t4.is_empty() { step.had.except(taken) } else { AxisSet::EMPTY };
    judge.hold(keeps.is_subset_of(has), &["T4", "T5", "H3"], || {
        format!("the student to keep {keeps:?}, which nothing takes, not {has:?}")
    });
}

/// The shared axes join when they may, and not before (H1, H3).
fn judge_growing<const N: usize>(step: &Step<'_, N>, may_grow: bool, gated: AxisSet, judge: &mut Judge) {
    let (had, has) = (step.had, step.has);
    judge.hold(has.is_subset_of(step.policy.shared), &["H1", "H5"], || {
        format!("the student to have shared axes only, not {has:?}")
    });
    let joined = has.except(had);
    judge.hold(joined.is_empty() || had.is_subset_of(has), &["H1"], || {
        format!("the student's set not to grow and shrink at once: {had:?}, then {has:?}")
    });
    judge.hold(joined.is_empty() || may_grow, &["H1"], || {
        format!("{joined:?} not to join before all was in order for the dwell and a good frame came without a row")
    });
    let all_gated = step.policy.scope == Scope::Craft && !gated.is_empty();
    judge.hold(!joined.meets(gated) && (joined.is_empty() || !all_gated), &["H3"], || {
        format!("{joined:?} not to join while the gates of {gated:?} are closed")
    });
    let free = step.policy.shared.except(had | step.outcome.held);
    let joins = if may_grow && !all_gated { free.except(gated) } else { AxisSet::EMPTY };
    judge.hold(joins.is_subset_of(joined), &["H1"], || format!("{joins:?} to join, not {joined:?}"));
}

/// The shared axes that the student has not and whose sticks are too far apart (H3).
fn closed_gates<const N: usize>(step: &Step<'_, N>, students: &Frame<N>) -> AxisSet {
    let sticks = step.policy.axes.iter().zip(step.outcome.stick.axes().iter().zip(students.axes()));
    let mut closed = AxisSet::EMPTY;
    for (axis, (rule, (x, student))) in (0..).zip(sticks) {
        if rule.window.is_some_and(|window| apart(*x, *student) > i32::from(window.to_bits())) {
            closed = closed.with(axis);
        }
    }
    closed & step.policy.shared.except(step.had)
}
