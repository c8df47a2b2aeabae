//! The watched sticks: when they are held, where they rest (T1, T3, R).

use handback::{AxisRule, AxisSet, Deflection, Policy, Rest};

use crate::broken::Judge;
use crate::normal::Rebase;
use crate::signals::Heard;
use crate::{Step, apart};

#[derive(Clone, Debug, Hash)]
pub(crate) struct Sticks<const N: usize> {
    held: AxisSet,
    sticks: [Stick; N],
}

/// One stick.
#[derive(Clone, Copy, Debug, Hash)]
struct Stick {
    /// Where it rests; a held one keeps the rest that it had.
    rest: Option<Deflection>,
    /// Good frames one after another beyond `engage`, while free (T1).
    row: u32,
    /// The first position of the stay and when it began, while held (R2).
    stay: Option<(Deflection, u64)>,
}

/// What one step did to the sticks.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Touched {
    pub(crate) became_held: AxisSet,
    /// An axis became held or free.
    pub(crate) changed: bool,
    /// A good frame came, and no free axis is on its way to being held (H1).
    pub(crate) settled: bool,
}

impl<const N: usize> Sticks<N> {
    pub(crate) fn new(policy: &Policy<N>) -> Self {
        let mut held = AxisSet::EMPTY;
        for (axis, rule) in (0..).zip(&policy.axes) {
            if policy.watched.contains(axis) && matches!(rule.rest, Rest::WhereLeft { .. }) {
                held = held.with(axis);
            }
        }
        let rest = |rule: AxisRule| if let Rest::At(rest) = rule.rest { Some(rest) } else { None };
        Self { held, sticks: policy.axes.map(|rule| Stick { rest: rest(rule), row: 0, stay: None }) }
    }

    pub(crate) fn normalise(&mut self, policy: &Policy<N>, rebase: Rebase) {
        for (stick, rule) in self.sticks.iter_mut().zip(&policy.axes) {
            if let Rest::WhereLeft { still } = rule.rest {
                stick.stay = stick.stay.map(|(first, since)| (first, rebase.grant(since, still)));
            } else {
                stick.stay = None;
            }
        }
    }

    pub(crate) fn step(&mut self, step: &Step<'_, N>, heard: Heard, judge: &mut Judge) -> Touched {
        let (held, before, watched) = (step.outcome.held, self.held, step.policy.watched);
        judge.hold(held.is_subset_of(watched), &["T1"], || format!("only watched axes held, not {held:?}"));
        let axes = (0..).zip(self.sticks.iter_mut().zip(&step.policy.axes).zip(step.outcome.stick.axes()));
        let mut row_begun = false;
        for (axis, ((stick, rule), x)) in axes.filter(|(axis, _)| watched.contains(*axis)) {
            if heard.disturbed() {
                (stick.row, stick.stay) = (0, None);
            }
            let (was, is) = (before.contains(axis), held.contains(axis));
            let (expected, rules) = if heard.came {
                stick.moves(step, rule, *x, was)
            } else {
                (was, if was { &["R3"] as &[_] } else { &["T1"] as &[_] })
            };
            judge.hold(is == expected, rules, || {
                format!("axis {axis} {} with its stick at {x}", if expected { "held" } else { "free" })
            });
            stick.follow(rule, *x, step.now, was, is);
            row_begun |= stick.row > 0;
        }
        self.held = held;
        Touched { became_held: held.except(before), changed: held != before, settled: heard.came && !row_begun }
    }

    /// The student's set grew: free sticks rest where they are (R2).
    pub(crate) fn rest_here(&mut self, step: &Step<'_, N>) {
        for (axis, (stick, rule)) in (0..).zip(self.sticks.iter_mut().zip(&step.policy.axes)) {
            let free = step.policy.watched.contains(axis) && !self.held.contains(axis);
            if free && matches!(rule.rest, Rest::WhereLeft { .. }) {
                stick.rest = step.outcome.stick.get(axis);
            }
        }
    }

    /// Where the stick of this axis rests, if it has a rest.
    pub(crate) fn rest(&self, axis: u8) -> Option<Deflection> {
        self.sticks.get(usize::from(axis)).and_then(|stick| stick.rest)
    }

    /// Whether a watched stick with a rest is further than this from it (H2).
    pub(crate) fn any_beyond(&self, step: &Step<'_, N>, limit: Deflection) -> bool {
        let is_beyond = |axis| {
            let (rest, x) = (self.rest(axis), step.outcome.stick.get(axis));
            rest.zip(x).is_some_and(|(rest, x)| apart(x, rest) > i32::from(limit.to_bits()))
        };
        step.policy.watched.iter().any(is_beyond)
    }
}

impl Stick {
    /// A good frame: whether the axis is held now, and by which rule.
    fn moves<const N: usize>(
        &mut self,
        step: &Step<'_, N>,
        rule: &AxisRule,
        x: Deflection,
        was_held: bool,
    ) -> (bool, &'static [&'static str]) {
        let (engage, release) = (i32::from(rule.engage.to_bits()), i32::from(rule.release.to_bits()));
        match rule.rest {
            _ if !was_held => {
                let beyond = self.rest.is_some_and(|rest| apart(x, rest) > engage);
                self.row = if beyond { self.row + 1 } else { 0 };
                (self.row >= u32::from(rule.confirm), &["T1"])
            }
            Rest::At(rest) => (apart(x, rest) > release, &["T3"]),
            Rest::WhereLeft { still } => {
                let stay = self.stay.filter(|(first, _)| apart(x, *first) <= release).unwrap_or((x, step.now));
                self.stay = Some(stay);
                (!step.lasted(Some(stay.1), still), &["R2"])
            }
        }
    }

    /// What the engine made of it.
    fn follow(&mut self, rule: &AxisRule, x: Deflection, now: u64, was_held: bool, is_held: bool) {
        if is_held && !was_held {
            (self.row, self.stay) = (0, Some((x, now)));
        }
        if was_held && !is_held {
            if matches!(rule.rest, Rest::WhereLeft { .. }) {
                self.rest = self.stay.map(|(first, _)| first);
            }
            (self.row, self.stay) = (0, None);
        }
    }
}
