//! A policy that passed its check (P1), with everything that a step needs computed in advance (N4).
//!
//! Rules: P1

use crate::policy::{AxisRule, Policy, PolicyError, Reciprocal, Rest, Scope, Timing, Transfer};
use crate::quantity::{AxisSet, Deflection, Duration, Frame};

/// A policy that passed [`Policy::check`]. It never changes, so it can stay in flash.
///
/// ```
/// use handback::{AxisRule, Policy};
/// let policy = Policy::new([AxisRule::sprung(); 2]);
/// assert_eq!(*policy.check().unwrap().policy(), policy);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "Policy<N>", into = "Policy<N>"))]
pub struct CheckedPolicy<const N: usize> {
    /// Watched axes whose rest is where the stick was left (R2).
    pub(crate) where_left: AxisSet,
    /// Shared axes with transfer Pickup (T6).
    pub(crate) pickup: AxisSet,
    /// Watched axes that latch a takeover (H2).
    pub(crate) keep: AxisSet,
    /// Shared axes with a match window (H3).
    pub(crate) gated: AxisSet,
    /// Axes that take only themselves when they are held (T5).
    pub(crate) alone: AxisSet,
    /// The reciprocal of the fade (H4).
    pub(crate) fade: Reciprocal,
    policy: Policy<N>,
    /// What a step asks of each axis.
    pub(crate) asks: [Ask; N],
    /// The rest of each watched axis at the start; [`NO_REST`] if it is still unknown or the axis is not watched.
    pub(crate) rests: Frame<N>,
}

/// What a step asks of one axis, as whole numbers: distances in units of 2^-14, times in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Ask {
    /// `engage` of a watched axis (T1); no distance is beyond that of another axis.
    pub(crate) engage: u16,
    /// `release` (T3, R2).
    pub(crate) release: u16,
    /// `window` (H3); no distance is beyond that of an axis without one.
    pub(crate) window: u16,
    /// `confirm` (T1).
    pub(crate) confirm: u8,
    /// `still` of an axis that rests where left (R2).
    pub(crate) still: u32,
}

/// Marks a missing rest. No axis of a good frame has this value, whatever `plausible` is.
pub(crate) const NO_REST: Deflection = Deflection::MIN;

impl<const N: usize> CheckedPolicy<N> {
    /// The policy that was checked.
    pub const fn policy(&self) -> &Policy<N> {
        &self.policy
    }

    /// The output when nobody flies (I2).
    pub const fn failsafe_frame(&self) -> Frame<N> {
        let mut frame = Frame::CENTRE;
        let mut left = frame.axes_mut().as_mut_slice();
        let mut rules = self.policy.axes.as_slice();
        while let ([out, next @ ..], [rule, tail @ ..]) = (left, rules) {
            *out = rule.failsafe;
            left = next;
            rules = tail;
        }
        frame
    }
}

impl Ask {
    const NOTHING: Self = Self { engage: u16::MAX, release: 0, window: u16::MAX, confirm: 1, still: 0 };

    const fn of(rule: &AxisRule, watched: bool) -> Self {
        let mut ask = Self { release: rule.release.magnitude(), confirm: rule.confirm, ..Self::NOTHING };
        if watched {
            ask.engage = rule.engage.magnitude();
        }
        if let Some(window) = rule.window {
            ask.window = window.magnitude();
        }
        if let Rest::WhereLeft { still } = rule.rest {
            ask.still = still.as_ticks();
        }
        ask
    }
}

/// The longest duration of a policy: half the range of the clock, in microseconds.
const LONGEST: u32 = 1 << 31;

impl<const N: usize> Policy<N> {
    /// Checks the policy (P1), in `const` too.
    ///
    /// # Errors
    /// The first rule that the policy breaks, with the axis, the field and the value.
    ///
    /// ```
    /// use handback::{AxisRule, Deflection, Policy, PolicyError};
    /// let mut policy = Policy::new([AxisRule::sprung(); 4]);
    /// policy.axes[3].engage = Deflection::CENTRE;
    /// let why = policy.check().unwrap_err();
    /// assert!(matches!(why, PolicyError::Engage { axis: 3, .. }));
    /// assert_eq!(
    ///     why.to_string(),
    ///     "axis 3: engage is 0.00 points: it must be above 0 and below what the stick can reach from its rest, 150.00 points"
    /// );
    /// ```
    pub const fn check(self) -> Result<CheckedPolicy<N>, PolicyError> {
        const { assert!(N >= 1 && N <= 16, "a frame has 1 to 16 axes") };
        if let Err(why) = self.check_whole() {
            return Err(why);
        }
        let mut sets = [AxisSet::EMPTY; 4];
        let [where_left, pickup, keep, gated] = &mut sets;
        let (mut asks, mut rests) = ([Ask::NOTHING; N], Frame::new([NO_REST; N]));
        let (mut asks_left, mut rests_left) = (asks.as_mut_slice(), rests.axes_mut().as_mut_slice());
        let mut rules = self.axes.as_slice();
        let mut axis = 0;
        while let ([rule, rules_left @ ..], [ask, next_asks @ ..], [rest, next_rests @ ..]) =
            (rules, asks_left, rests_left)
        {
            if let Err(why) = rule.check(axis, self.plausible) {
                return Err(why);
            }
            let watched = self.watched.contains(axis);
            let shared = self.shared.contains(axis);
            *where_left = where_left.with_if(axis, watched && matches!(rule.rest, Rest::WhereLeft { .. }));
            *pickup = pickup.with_if(axis, shared && matches!(rule.transfer, Transfer::Pickup));
            *keep = keep.with_if(axis, watched && rule.keep);
            *gated = gated.with_if(axis, shared && rule.window.is_some());
            *ask = Ask::of(rule, watched);
            if let (true, Rest::At(at)) = (watched, rule.rest) {
                *rest = at;
            }
            (rules, asks_left, rests_left) = (rules_left, next_asks, next_rests);
            axis = axis.saturating_add(1);
        }
        let [where_left, pickup, keep, gated] = sets;
        let alone = if matches!(self.scope, Scope::Axis) { self.shared } else { AxisSet::EMPTY };
        let fade = Reciprocal::of(self.fade);
        Ok(CheckedPolicy { policy: self, where_left, pickup, keep, gated, alone, asks, rests, fade })
    }

    /// Checks the fields that belong to no single axis.
    const fn check_whole(&self) -> Result<(), PolicyError> {
        if self.plausible.to_bits() < Deflection::FULL.to_bits() {
            return Err(PolicyError::Plausible { plausible: self.plausible });
        }
        if self.watched.is_empty() {
            return Err(PolicyError::NothingWatched);
        }
        let axes = AxisSet::first(N);
        #[allow(clippy::cast_possible_truncation)] // at most 16
        let count = N as u8;
        if let Some(axis) = self.watched.except(axes).lowest() {
            return Err(PolicyError::WatchedPastLast { axis, axes: count });
        }
        if let Some(axis) = self.shared.except(axes).lowest() {
            return Err(PolicyError::SharedPastLast { axis, axes: count });
        }
        if let (Scope::Axis, Some(axis)) = (self.scope, self.shared.except(self.watched).lowest()) {
            return Err(PolicyError::SharedUnwatched { axis });
        }
        if let Some(beyond) = self.latches.beyond
            && (beyond.to_bits() < 0 || beyond.to_bits() >= self.plausible.to_bits())
        {
            return Err(PolicyError::Beyond { beyond, plausible: self.plausible });
        }
        self.check_durations()
    }

    const fn check_durations(&self) -> Result<(), PolicyError> {
        let lasted = match self.latches.lasted {
            Some(lasted) => lasted,
            None => Duration::from_ticks(0),
        };
        let frozen_after = match self.frozen_after {
            Some(frozen_after) => frozen_after,
            None => Duration::from_ticks(1),
        };
        let all = [
            (Timing::Settle, self.settle),
            (Timing::Dwell, self.dwell),
            (Timing::Fade, self.fade),
            (Timing::PickupMax, self.pickup_max),
            (Timing::Timeout, self.timeout),
            (Timing::Requalify, self.requalify),
            (Timing::FrozenAfter, frozen_after),
            (Timing::FailsafeAfter, self.failsafe_after),
            (Timing::LateStep, self.late_step),
            (Timing::Lasted, lasted),
        ];
        let mut rest = all.as_slice();
        while let [(timing, value), tail @ ..] = rest {
            if value.as_ticks() > LONGEST {
                return Err(PolicyError::TooLong { axis: None, timing: *timing, value: *value });
            }
            if value.is_zero()
                && matches!(timing, Timing::Settle | Timing::Timeout | Timing::FrozenAfter | Timing::LateStep)
            {
                return Err(PolicyError::Zero { timing: *timing });
            }
            rest = tail;
        }
        if self.failsafe_after.as_ticks() < self.timeout.as_ticks() {
            return Err(PolicyError::FailsafeBeforeTimeout {
                failsafe_after: self.failsafe_after,
                timeout: self.timeout,
            });
        }
        Ok(())
    }
}

impl AxisRule {
    const fn check(&self, axis: u8, plausible: Deflection) -> Result<(), PolicyError> {
        // The rest comes first, since `engage` is compared with the reach from it.
        let reach = match self.rest {
            Rest::At(rest) if rest.magnitude() > plausible.magnitude() => {
                return Err(PolicyError::Rest { axis, rest, plausible });
            }
            Rest::WhereLeft { still } if still.as_ticks() > LONGEST => {
                return Err(PolicyError::TooLong { axis: Some(axis), timing: Timing::Still, value: still });
            }
            Rest::At(rest) => plausible.magnitude().saturating_add(rest.magnitude()),
            Rest::WhereLeft { .. } => plausible.magnitude(),
        };
        if self.engage.to_bits() <= 0 || self.engage.magnitude() >= reach {
            return Err(PolicyError::Engage { axis, engage: self.engage, reach });
        }
        if self.release.to_bits() < 0 || self.release.to_bits() >= self.engage.to_bits() {
            return Err(PolicyError::Release { axis, release: self.release, engage: self.engage });
        }
        if self.confirm == 0 {
            return Err(PolicyError::Confirm { axis });
        }
        if let Some(window) = self.window
            && window.to_bits() < 0
        {
            return Err(PolicyError::Window { axis, window });
        }
        if self.failsafe.magnitude() > plausible.magnitude() {
            return Err(PolicyError::Failsafe { axis, failsafe: self.failsafe, plausible });
        }
        Ok(())
    }
}

impl<const N: usize> TryFrom<Policy<N>> for CheckedPolicy<N> {
    type Error = PolicyError;

    fn try_from(policy: Policy<N>) -> Result<Self, PolicyError> {
        policy.check()
    }
}

impl<const N: usize> From<CheckedPolicy<N>> for Policy<N> {
    fn from(checked: CheckedPolicy<N>) -> Self {
        checked.policy
    }
}
