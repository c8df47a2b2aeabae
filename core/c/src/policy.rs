//! A policy as plain C data: numbers only, so that any value of any byte is at worst a wrong policy.

use handback::{AxisRule as EngineRule, AxisSet as EngineSet, CheckedPolicy, Deflection as EngineDeflection};
use handback::{Duration, Latches, Policy as EnginePolicy, PolicyError};

use crate::frame::{AxisSet, Deflection, MAX_AXES, Micros};
use crate::refusal::Refusal;

/// How much one held axis takes from the student (T5).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Scope {
    /// Every axis.
    Craft,
    /// Its own axis; every axis if its own axis is not shared.
    Axis,
}

/// Where the stick of an axis rests when nobody touches it (R).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Rest {
    /// At a fixed place, `rest` (R1).
    At,
    /// Wherever it was left, once it has stayed within `release` of one position for `still` (R2).
    WhereLeft,
}

/// What an axis outputs when it leaves the student's set (T6).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Transfer {
    /// The instructor's stick at once.
    Snap,
    /// The last output, until the instructor's stick meets it, passes it or moves away from it, for at most
    /// `pickup_max`.
    Pickup,
}

/// The rule of one axis.
#[derive(Clone, Copy, Debug, Default)]
#[repr(C)]
pub struct AxisRule {
    /// The axis becomes held when its stick is further than this from its rest (T1); above 0 and within reach.
    pub engage: Deflection,
    /// The axis stays held until its stick is within this of its rest (T3); from 0 to below `engage`.
    pub release: Deflection,
    /// Number of good frames in a row that must be beyond `engage` (T1); 1 or more. Each frame above 1 adds a frame of
    /// latency.
    pub confirm: u8,
    /// One of `handback_rest`.
    pub rest_kind: u8,
    /// Where the untouched stick is, for `HANDBACK_REST_AT`.
    pub rest: Deflection,
    /// How long the stick must stay, for `HANDBACK_REST_WHERE_LEFT`. 500 ms is common practice, no source.
    pub still: Micros,
    /// One of `handback_transfer`.
    pub transfer: u8,
    /// Whether a takeover that this axis begins or joins keeps the craft until the switch has been off (H2): 0 is no.
    pub keep: u8,
    /// Whether there is a match window (H3): 0 is no.
    pub has_window: u8,
    /// The axis may go to the student only while the two sticks are no further apart than this; 0 or more.
    pub window: Deflection,
    /// What the axis outputs when nobody flies (I2). A wrong value can hurt people: for a throttle it is seldom 0.
    pub failsafe: Deflection,
}

/// Everything the user decides. `lesson policy --c` prints one; `handback_start` checks it (P1) and copies it.
#[derive(Clone, Copy, Debug, Default)]
#[repr(C)]
pub struct Policy {
    /// `sizeof(handback_policy)`. It shows that header and library belong together.
    pub size: u16,
    /// The number of axes, 1 to 16.
    pub axis_count: u8,
    /// One of `handback_scope`.
    pub scope: u8,
    /// The axes whose sticks can take the craft; at least one.
    pub watched: AxisSet,
    /// The axes that the student may fly.
    pub shared: AxisSet,
    /// A frame with an axis further from centre than this is bad; 16384 or more. Usual: 24576, 150 points.
    pub plausible: Deflection,
    /// How long the lesson switch must be seen in a new position, unbroken (S2, S3); not 0. Usual: 30 ms.
    pub settle: Micros,
    /// How long the conditions of H1 must hold before the student gets an axis (H1). Usual: 300 ms.
    pub dwell: Micros,
    /// How long an axis takes from its last output to the stick of its new pilot (H4); 0 is at once. Usual: 200 ms.
    pub fade: Micros,
    /// The longest a pickup waits before it fades to the instructor's stick (T6). Usual: 2 s.
    pub pickup_max: Micros,
    /// A signal is lost when its last good frame is older than this (L1, I1); not 0. Usual: 150 ms.
    pub timeout: Micros,
    /// How long the frames of a student link that was lost must come again before it is good (L2). Usual: 1 s.
    pub requalify: Micros,
    /// Whether a student link whose shared axes do not change is lost (L4): 0 is no. Usual: 0, since many transmitters
    /// send identical frames while their sticks rest.
    pub has_frozen_after: u8,
    /// It is lost when no shared axis has changed for longer than this; not 0.
    pub frozen_after: Micros,
    /// Nobody flies when the instructor's last good frame is older than this (I2); `timeout` or more. Usual: 1 s.
    pub failsafe_after: Micros,
    /// A step that comes later than this after the one before is a late step (K1); not 0. Usual: 250 ms.
    pub late_step: Micros,
    /// Whether the switch must be seen off first again after the student link was lost (S2, L3): 0 is no. Usual: 1.
    pub off_first_after_loss: u8,
    /// Whether a takeover latches once it has been on for `lasted` (H2): 0 is no.
    pub has_lasted: u8,
    /// Whether a takeover latches once a watched stick is further than `beyond` from its rest (H2): 0 is no.
    pub has_beyond: u8,
    /// How long a takeover must be on to latch.
    pub lasted: Micros,
    /// How far the stick must be from its rest; from 0 to below `plausible`.
    pub beyond: Deflection,
    /// The rules of the axes, axis 0 first. Entries past the last axis are ignored.
    pub axes: [AxisRule; MAX_AXES],
}

impl Policy {
    /// Checks the policy for an engine of `N` axes, of which the policy has `axis_count`. It refuses what the check of
    /// a policy with just these axes refuses (P1).
    pub(crate) fn check<const N: usize>(&self) -> Result<CheckedPolicy<N>, Refusal> {
        let policy = self.in_engine::<N>()?;
        let (count, there) = (self.axis_count, EngineSet::first(self.axis_count.into()));
        let watched_past = policy.watched.except(there).lowest();
        let shared_past = policy.shared.except(there).lowest();
        match (policy.check(), watched_past, shared_past) {
            // The wider engine has these axes, so its check passes over them. In a policy with just these axes, the
            // check for them would come after these two.
            (Err(why @ (PolicyError::Plausible { .. } | PolicyError::NothingWatched)), ..) => Err(why),
            (_, Some(axis), _) => Err(PolicyError::WatchedPastLast { axis, axes: count }),
            (_, None, Some(axis)) => Err(PolicyError::SharedPastLast { axis, axes: count }),
            (checked, None, None) => checked,
        }
        .map_err(Refusal::Policy)
    }

    /// The axes past the policy's last axis are neither watched nor shared: they rest at their centre and take no part.
    fn in_engine<const N: usize>(&self) -> Result<EnginePolicy<N>, Refusal> {
        let mut axes = [EngineRule::sprung(); N];
        for ((rule, given), axis) in axes.iter_mut().zip(&self.axes).zip(0..self.axis_count) {
            *rule = given.in_engine(axis)?;
        }
        let mut policy = EnginePolicy::new(axes);
        policy.watched = EngineSet::from_bits(self.watched);
        policy.shared = EngineSet::from_bits(self.shared);
        policy.scope = match self.scope {
            scope if scope == Scope::Craft as u8 => handback::Scope::Craft,
            scope if scope == Scope::Axis as u8 => handback::Scope::Axis,
            scope => return Err(Refusal::UnknownScope(scope)),
        };
        policy.plausible = EngineDeflection::from_bits(self.plausible);
        policy.settle = Duration::from_ticks(self.settle);
        policy.dwell = Duration::from_ticks(self.dwell);
        policy.fade = Duration::from_ticks(self.fade);
        policy.pickup_max = Duration::from_ticks(self.pickup_max);
        policy.timeout = Duration::from_ticks(self.timeout);
        policy.requalify = Duration::from_ticks(self.requalify);
        policy.frozen_after = (self.has_frozen_after != 0).then_some(Duration::from_ticks(self.frozen_after));
        policy.failsafe_after = Duration::from_ticks(self.failsafe_after);
        policy.late_step = Duration::from_ticks(self.late_step);
        policy.off_first_after_loss = self.off_first_after_loss != 0;
        policy.latches = Latches {
            lasted: (self.has_lasted != 0).then_some(Duration::from_ticks(self.lasted)),
            beyond: (self.has_beyond != 0).then_some(EngineDeflection::from_bits(self.beyond)),
        };
        Ok(policy)
    }
}

impl AxisRule {
    fn in_engine(&self, axis: u8) -> Result<EngineRule, Refusal> {
        let mut rule = EngineRule::sprung();
        rule.engage = EngineDeflection::from_bits(self.engage);
        rule.release = EngineDeflection::from_bits(self.release);
        rule.confirm = self.confirm;
        rule.rest = match self.rest_kind {
            kind if kind == Rest::At as u8 => handback::Rest::At(EngineDeflection::from_bits(self.rest)),
            kind if kind == Rest::WhereLeft as u8 => {
                handback::Rest::WhereLeft { still: Duration::from_ticks(self.still) }
            }
            kind => return Err(Refusal::UnknownRest { axis, kind }),
        };
        rule.transfer = match self.transfer {
            kind if kind == Transfer::Snap as u8 => handback::Transfer::Snap,
            kind if kind == Transfer::Pickup as u8 => handback::Transfer::Pickup,
            kind => return Err(Refusal::UnknownTransfer { axis, kind }),
        };
        rule.keep = self.keep != 0;
        rule.window = (self.has_window != 0).then_some(EngineDeflection::from_bits(self.window));
        rule.failsafe = EngineDeflection::from_bits(self.failsafe);
        Ok(rule)
    }
}
