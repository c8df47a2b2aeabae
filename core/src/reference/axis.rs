//! One axis: its state in the model, and the rules of its stick (T1, T3, T5, R).

use super::quantity::{micros, travel};
use super::wait::Wait;
use crate::policy::{AxisRule, Policy, Rest, Scope, Transfer};
use crate::quantity::Duration;

/// One axis. Deflections are in units of full travel.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub(super) number: u8,
    pub(super) watched: bool,
    pub(super) shared: bool,
    pub(super) engage: f64,
    release: f64,
    confirm: u32,
    /// How long the stick must stay, where it rests where left.
    still: Option<Duration>,
    pub(super) picks_up: bool,
    pub(super) keep: bool,
    window: Option<f64>,
    pub(super) failsafe: f64,

    /// The stick in the instructor's last good frame; the failsafe before the first frame.
    pub(super) instructor: f64,
    /// The value in the student's last good frame.
    pub(super) student: f64,
    /// T1: the axis is held.
    pub(super) held: bool,
    pub(super) became_held: bool,
    became_free: bool,
    /// Position of the untouched stick; a held axis keeps the rest that it had.
    pub(super) rest: Option<f64>,
    /// Good frames in a row that were beyond `engage`.
    row: u32,
    stay: Option<Stay>,

    /// In the student's set after the last step, and after the one before.
    pub(super) students: bool,
    pub(super) was_students: bool,
    /// T6: the axis waits to be picked up.
    pub(super) wait: Option<Wait>,
    /// H4: the output at which the fade of the axis began.
    pub(super) fades_from: Option<f64>,
    /// The output of the last step, rounded.
    pub(super) output: f64,
    /// The output of the last step on the unrounded line (N3).
    pub(super) ideal: f64,
}

/// A stick that stays where it is (R2).
#[derive(Clone, Copy, Debug)]
struct Stay {
    first: f64,
    lasted: f64,
}

impl Axis {
    pub(super) fn new<const N: usize>(number: u8, rule: &AxisRule, policy: &Policy<N>) -> Self {
        let watched = policy.watched.contains(number);
        let (rest, still) = match rule.rest {
            Rest::At(rest) => (Some(travel(rest)), None),
            Rest::WhereLeft { still } => (None, Some(still)),
        };
        let failsafe = travel(rule.failsafe);
        Self {
            number,
            watched,
            shared: policy.shared.contains(number),
            engage: travel(rule.engage),
            release: travel(rule.release),
            confirm: u32::from(rule.confirm),
            still,
            picks_up: rule.transfer == Transfer::Pickup,
            keep: rule.keep,
            window: rule.window.map(travel),
            failsafe,
            instructor: failsafe,
            student: failsafe,
            // R2: at the start it is held, without a rest.
            held: watched && still.is_some(),
            became_held: false,
            became_free: false,
            rest,
            row: 0,
            stay: None,
            students: false,
            was_students: false,
            wait: None,
            fades_from: None,
            output: failsafe,
            ideal: failsafe,
        }
    }

    /// One step of the stick. `good`: a good instructor's frame came. `lost`: K1 or I1 was noticed.
    pub(super) fn watch(&mut self, dt: f64, good: bool, lost: bool) {
        self.became_held = false;
        self.became_free = false;
        if let Some(stay) = &mut self.stay {
            stay.lasted += dt;
        }
        if lost {
            self.row = 0; // R3
            self.stay = None;
        }
        if !self.watched || !good {
            return; // T1: the row goes on; R3: nothing becomes free
        }
        if self.held {
            self.let_go();
        } else {
            self.take();
        }
    }

    /// T1: free becomes held.
    fn take(&mut self) {
        self.row = if self.is_beyond(self.engage) { self.row.saturating_add(1) } else { 0 };
        if self.row >= self.confirm {
            self.row = 0;
            self.held = true;
            self.became_held = true;
            // R2: a stay begins; it is not evaluated in this step.
            self.stay = Some(Stay { first: self.instructor, lasted: 0.0 });
        }
    }

    /// T3 for a fixed rest, R2 for a rest where left: held becomes free.
    fn let_go(&mut self) {
        let Some(still) = self.still else {
            self.became_free = !self.is_beyond(self.release);
            self.held = !self.became_free;
            return;
        };
        let stay = match self.stay {
            Some(stay) if (self.instructor - stay.first).abs() <= self.release => stay,
            _ => Stay { first: self.instructor, lasted: 0.0 },
        };
        self.stay = Some(stay);
        if stay.lasted >= micros(still) {
            self.rest = Some(stay.first);
            self.held = false;
            self.became_free = true;
        }
    }

    /// H1: whether a row of T1 has begun and has not ended.
    pub(super) fn is_on_its_way_to_held(&self) -> bool {
        self.row > 0
    }

    /// R2: the student's set grew.
    pub(super) fn rests_here_if_where_left(&mut self) {
        if self.watched && !self.held && self.still.is_some() {
            self.rest = Some(self.instructor);
        }
    }

    /// Whether the stick has a rest and is further than this from it.
    pub(super) fn is_beyond(&self, distance: f64) -> bool {
        self.rest.is_some_and(|rest| (self.instructor - rest).abs() > distance)
    }

    pub(super) fn changed_hold(&self) -> bool {
        self.became_held || self.became_free
    }

    /// T5: whether this axis, when it is held, takes the other axis (which may be itself).
    pub(super) fn takes(&self, other: &Self, scope: Scope) -> bool {
        self.takes_everything(scope) || self.number == other.number
    }

    /// T5: whether this axis, when it is held, takes every axis.
    pub(super) fn takes_everything(&self, scope: Scope) -> bool {
        scope == Scope::Craft || !self.shared
    }

    /// H3: whether the axis is shared and not the student's, and its gate is closed.
    pub(super) fn is_gated(&self) -> bool {
        let apart = (self.instructor - self.student).abs();
        self.shared && !self.students && self.window.is_some_and(|window| apart > window)
    }

    pub(super) fn left(&self) -> bool {
        self.was_students && !self.students
    }

    pub(super) fn joined(&self) -> bool {
        self.students && !self.was_students
    }
}
