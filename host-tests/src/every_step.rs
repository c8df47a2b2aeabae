//! What the contract says of every single step, whatever came before: checked in each step of each lesson.

use handback::{
    AxisSet, CheckedPolicy, Duration, Event, Inputs, Instant, Link, Outcome, Pilot, Policy, Reception, Scope, Transfer,
};

/// Checks one step after another against what holds in all of them.
#[derive(Clone, Debug)]
pub struct Always<const N: usize> {
    policy: Policy<N>,
    before: Option<Outcome<N>>,
    started: bool,
}

/// One step: what it was given, what came out, and what came out the step before.
struct Step<'a, const N: usize> {
    policy: &'a Policy<N>,
    dt: Duration,
    inputs: &'a Inputs<'a, N>,
    outcome: &'a Outcome<N>,
    before: Option<&'a Outcome<N>>,
}

impl<const N: usize> Always<N> {
    /// Before the first step.
    pub fn new(policy: &CheckedPolicy<N>) -> Self {
        Self { policy: *policy.policy(), before: None, started: false }
    }

    /// Checks the outcome of the next step.
    ///
    /// # Panics
    /// Where the outcome breaks a rule; the message names it.
    pub fn check(&mut self, now: Instant, inputs: &Inputs<'_, N>, outcome: &Outcome<N>) {
        let last = self.before.as_ref().map_or(now, |before| before.at);
        let dt = Duration::from_ticks(now.as_ticks().wrapping_sub(last.as_ticks()));
        assert_eq!(outcome.at, now, "the step's own instant");
        let step = Step { policy: &self.policy, dt, inputs, outcome, before: self.before.as_ref() };
        step.check_event(self.started);
        step.check_who_flies();
        step.check_what_empties_the_set();
        step.check_growth();
        step.check_held();
        step.check_output();
        step.check_pickup();
        self.started |= outcome.instructor == Reception::Good;
        self.before = Some(*outcome);
    }
}

impl<const N: usize> Step<'_, N> {
    /// A1: one event for every change, none at the start, none without a change.
    fn check_event(&self, started: bool) {
        let change = self.before.map(|b| b.pilot).filter(|&from| started && from != self.outcome.pilot);
        match (change, self.outcome.event) {
            (None, event) => assert_eq!(event, None, "A1: an event without a change, or at the start"),
            (Some(from), Some(Event { at, from: told_from, to, .. })) => {
                assert_eq!((told_from, to, at), (from, self.outcome.pilot, self.outcome.at), "A1: the event");
            }
            (Some(from), None) => panic!("A1: {from:?} to {:?} without an event", self.outcome.pilot),
        }
    }

    /// T5 and A2: the student has shared axes only, none that is held, and what is missing is waited for.
    fn check_who_flies(&self) {
        let set = self.outcome.pilot.student();
        let held = self.outcome.held;
        assert_ne!(self.outcome.pilot, Pilot::Student(AxisSet::EMPTY), "a student without an axis");
        assert!(set.is_subset_of(self.policy.shared), "{set:?} is not shared");
        assert!(!set.meets(held), "T5: the student has a held axis of {held:?}");
        let takes_all = match self.policy.scope {
            Scope::Craft => !held.is_empty(),
            Scope::Axis => !held.is_subset_of(self.policy.shared),
        };
        assert!(!takes_all || set.is_empty(), "T5: {held:?} takes everything from {set:?}");
        assert_eq!(self.outcome.waiting.is_some(), set != self.policy.shared, "A2: waiting while something is missing");
    }

    /// T4, as far as one step shows it.
    fn check_what_empties_the_set(&self) {
        let empties = !self.inputs.lesson_switch
            || self.inputs.instructor_now
            || self.outcome.instructor == Reception::Bad
            || self.outcome.instructor_lost
            || self.outcome.link != Link::Good
            || self.dt.as_ticks() > self.policy.late_step.as_ticks();
        let set = self.outcome.pilot.student();
        assert!(!empties || set.is_empty(), "T4: the student keeps {set:?}");
    }

    /// H1: the set grows only with a good frame, and never grows and shrinks in one step.
    fn check_growth(&self) {
        let before = self.before.map_or(AxisSet::EMPTY, |b| b.pilot.student());
        let now = self.outcome.pilot.student();
        let grew = !now.is_subset_of(before);
        assert!(!grew || before.is_subset_of(now), "the set both grew and shrank: {before:?} to {now:?}");
        assert!(!grew || self.outcome.instructor == Reception::Good, "H1: grew without a good frame");
        assert!(
            !grew || self.before.is_none_or(|b| b.held == self.outcome.held),
            "H1: grew while the held set changed"
        );
    }

    /// T1, T3, R3: only watched axes are held, and only a good frame changes which.
    fn check_held(&self) {
        let held = self.outcome.held;
        assert!(held.is_subset_of(self.policy.watched), "T1: {held:?} is not watched");
        if let Some(before) = self.before.filter(|_| self.outcome.instructor != Reception::Good) {
            assert_eq!(held, before.held, "T1, R3: the held set changed without a good frame");
        }
    }

    /// H5, I2, T6 `Snap`: what is not the student's comes from the instructor, and nothing implausible comes out.
    fn check_output(&self) {
        let nobody = self.outcome.pilot == Pilot::Nobody;
        let plausible = self.policy.plausible.to_bits().unsigned_abs();
        for (axis, rule) in (0u8..).zip(&self.policy.axes) {
            let out = self.outcome.output.get(axis).expect("an axis of the frame");
            let stick = self.outcome.stick.get(axis).expect("an axis of the frame");
            assert!(out.to_bits().unsigned_abs() <= plausible, "axis {axis}: output {out} is implausible");
            if nobody {
                assert_eq!(out, rule.failsafe, "I2: axis {axis} while nobody flies");
            } else if !self.policy.shared.contains(axis) {
                assert_eq!(out, stick, "H5: axis {axis} is not shared");
            } else if rule.transfer == Transfer::Snap && !self.outcome.pilot.student().contains(axis) {
                assert_eq!(out, stick, "T6: axis {axis} snaps");
            }
        }
    }

    /// T6: only a `Pickup` axis that left the set waits, and it stays where it was.
    fn check_pickup(&self) {
        for axis in self.outcome.pickup.iter() {
            let rule = self.policy.axes.get(usize::from(axis)).expect("T6: an axis past the last waits");
            assert_eq!(rule.transfer, Transfer::Pickup, "T6: axis {axis} waits");
            assert!(self.policy.shared.contains(axis), "T6: axis {axis} is not shared and waits");
            assert!(!self.outcome.pilot.student().contains(axis), "T6: axis {axis} is the student's and waits");
            let before = self.before.expect("T6: an axis waits in the first step");
            assert_eq!(self.outcome.output.get(axis), before.output.get(axis), "T6: axis {axis} moved while it waited");
        }
    }
}
