//! When each watched stick is to take over and to let go (T1, T3, R2), worked out beside the engine from the same frames.
//!
//! There is no tolerance: both see the very same sticks, and the numbers that a finding tells are those of the frame.

use super::finding::Finding;
use super::list::List;
use crate::policy::{AxisRule, CheckedPolicy, NO_REST, Rest};
use crate::quantity::{AxisSet, Deflection, Duration, Frame};

/// One watched stick.
#[derive(Clone, Copy, Debug)]
struct Touch {
    /// Where it rests; [`NO_REST`] before the first rest.
    rest: Deflection,
    /// Good frames in a row beyond `engage`, while free.
    row: u8,
    /// The first position of the stay and how long it has lasted, while held and `begun`.
    stay: Deflection,
    stayed: u32,
    begun: bool,
}

/// All watched sticks.
#[derive(Clone, Debug)]
pub(super) struct Touches<const N: usize> {
    held: AxisSet,
    axes: [Touch; N],
}

/// What a step showed of the instructor's sticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen<'a, const N: usize> {
    pub(super) frame: &'a Frame<N>,
    /// Whether that came in this step.
    pub(super) fresh: bool,
    /// The axes that the engine holds now.
    pub(super) held: AxisSet,
    pub(super) dt: u32,
    /// Every row and every stay begins anew (R3).
    pub(super) disturbed: bool,
    /// The student's set grew (R2).
    pub(super) grew: bool,
}

impl<const N: usize> Touches<N> {
    pub(super) fn new(policy: &CheckedPolicy<N>) -> Self {
        let mut axes = [Touch { rest: NO_REST, row: 0, stay: Deflection::CENTRE, stayed: 0, begun: false }; N];
        for (touch, rest) in axes.iter_mut().zip(policy.rests.axes()) {
            touch.rest = *rest;
        }
        Self { held: policy.where_left, axes }
    }

    /// The axes that were held after the last step.
    pub(super) const fn held(&self) -> AxisSet {
        self.held
    }

    /// Whether a watched stick that has a rest is further than this from it (H2).
    pub(super) fn any_beyond(&self, frame: &Frame<N>, limit: Deflection) -> bool {
        let sticks = self.axes.iter().zip(frame.axes());
        sticks.into_iter().any(|(touch, x)| touch.rest != NO_REST && x.distance(touch.rest) > limit.magnitude())
    }

    /// Holds what the engine made of the sticks to the rules. Returns the axes that became held.
    pub(super) fn step(&mut self, policy: &CheckedPolicy<N>, seen: Seen<'_, N>, list: &mut List) -> AxisSet {
        let (watched, before) = (policy.policy().watched, self.held);
        let sticks = self.axes.iter_mut().zip(&policy.policy().axes).zip(seen.frame.axes());
        for (axis, ((touch, rule), x)) in (0..).zip(sticks) {
            if seen.disturbed {
                (touch.row, touch.begun) = (0, false);
            }
            if watched.contains(axis) {
                let held = seen.held.contains(axis);
                if before.contains(axis) {
                    touch.goes_on(axis, rule, *x, held, seen, list);
                } else {
                    touch.stays_free(axis, rule, *x, held, seen, list);
                }
                if seen.grew && !held && matches!(rule.rest, Rest::WhereLeft { .. }) {
                    touch.rest = *x;
                }
            }
        }
        self.held = seen.held;
        seen.held.except(before)
    }
}

impl Touch {
    /// A held axis: whether it is to be free now.
    fn goes_on<const N: usize>(
        &mut self,
        axis: u8,
        rule: &AxisRule,
        x: Deflection,
        held: bool,
        seen: Seen<'_, N>,
        list: &mut List,
    ) {
        if self.begun {
            self.stayed = self.stayed.saturating_add(seen.dt);
        }
        if seen.fresh {
            match rule.rest {
                Rest::At(rest) => {
                    let off = x.distance(rest);
                    if held == (off <= rule.release.magnitude()) {
                        list.note(Finding::LetGoAt { axis, seen: length(off), release: rule.release });
                    }
                }
                Rest::WhereLeft { still } => {
                    if !self.begun || x.distance(self.stay) > rule.release.magnitude() {
                        self.stay_at(x);
                    }
                    if held == (self.stayed >= still.as_ticks()) {
                        let seen = Duration::from_ticks(self.stayed);
                        list.note(Finding::LetGoAfter { axis, seen, still });
                    }
                    if !held {
                        self.rest = self.stay;
                    }
                }
            }
        }
        if !held {
            (self.row, self.begun) = (0, false);
        }
    }

    /// A free axis: whether it is to be held now.
    fn stays_free<const N: usize>(
        &mut self,
        axis: u8,
        rule: &AxisRule,
        x: Deflection,
        held: bool,
        seen: Seen<'_, N>,
        list: &mut List,
    ) {
        let off = x.distance(self.rest);
        if seen.fresh {
            let out = self.rest != NO_REST && off > rule.engage.magnitude();
            self.row = if out { self.row.saturating_add(1) } else { 0 };
        }
        let (engage, confirm, frames) = (rule.engage, rule.confirm, self.row);
        if held && frames < confirm {
            list.note(Finding::TookOverAt { axis, seen: length(off), frames, engage, confirm });
        } else if !held && frames >= confirm {
            list.note(Finding::NotAtThreshold { axis, seen: length(off), engage, confirm });
        }
        if held {
            self.row = 0;
            self.stay_at(x);
        }
    }

    fn stay_at(&mut self, x: Deflection) {
        (self.stay, self.stayed, self.begun) = (x, 0, true);
    }
}

/// A distance as a deflection, as far as one goes.
pub(super) fn length(units: u16) -> Deflection {
    Deflection::from_bits(i16::try_from(units).unwrap_or(i16::MAX))
}
