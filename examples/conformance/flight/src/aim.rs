//! The targets of a flight: the thresholds and durations of its policy, on them and just beside them.

use handback::{Deflection, Duration, Frame, Policy, Rest};

/// A stick position with a different result on either side of it.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Threshold {
    Engage,
    Release,
    Window,
    Beyond,
    Plausible,
    /// The last output.
    Output,
    /// By `engage` further from the last output than now.
    Away,
}

/// The durations of a policy.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Timing {
    Settle,
    Dwell,
    Fade,
    PickupMax,
    Timeout,
    Requalify,
    FrozenAfter,
    FailsafeAfter,
    LateStep,
    Still,
    Lasted,
}

/// One under, on, and one over: in units of 2^-14 of full travel, or in microseconds.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Beside {
    Under,
    On,
    Over,
}

/// The sticks of one side, and the values that they are placed relative to.
pub(crate) struct Sight<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) sticks: &'a Frame<N>,
    pub(crate) other: &'a Frame<N>,
    pub(crate) output: &'a Frame<N>,
}

impl Threshold {
    pub(crate) const ALL: [Self; 7] =
        [Self::Engage, Self::Release, Self::Window, Self::Beyond, Self::Plausible, Self::Output, Self::Away];
    pub(crate) const NAMES: [&str; 7] = ["engage", "release", "window", "beyond", "plausible", "output", "away"];
}

impl Timing {
    pub(crate) const ALL: [Self; 11] = [
        Self::Settle,
        Self::Dwell,
        Self::Fade,
        Self::PickupMax,
        Self::Timeout,
        Self::Requalify,
        Self::FrozenAfter,
        Self::FailsafeAfter,
        Self::LateStep,
        Self::Still,
        Self::Lasted,
    ];
    pub(crate) const NAMES: [&str; 11] = [
        "settle",
        "dwell",
        "fade",
        "pickup-max",
        "timeout",
        "requalify",
        "frozen-after",
        "failsafe-after",
        "late-step",
        "still",
        "lasted",
    ];

    /// The value of the duration; `None` where the policy has none.
    pub(crate) fn of<const N: usize>(self, policy: &Policy<N>) -> Option<Duration> {
        Some(match self {
            Self::Settle => policy.settle,
            Self::Dwell => policy.dwell,
            Self::Fade => policy.fade,
            Self::PickupMax => policy.pickup_max,
            Self::Timeout => policy.timeout,
            Self::Requalify => policy.requalify,
            Self::FailsafeAfter => policy.failsafe_after,
            Self::LateStep => policy.late_step,
            Self::FrozenAfter => return policy.frozen_after,
            Self::Lasted => return policy.latches.lasted,
            Self::Still => {
                return policy.axes.iter().find_map(|rule| match rule.rest {
                    Rest::WhereLeft { still } => Some(still),
                    Rest::At(_) => None,
                });
            }
        })
    }
}

impl Beside {
    pub(crate) const ALL: [Self; 3] = [Self::Under, Self::On, Self::Over];
    pub(crate) const NAMES: [&str; 3] = ["under", "on", "over"];

    pub(crate) const fn offset(self) -> i32 {
        match self {
            Self::Under => -1,
            Self::On => 0,
            Self::Over => 1,
        }
    }
}

impl<const N: usize> Sight<'_, N> {
    /// The position that puts a stick on a threshold or beside it, on the upper or the lower side, within the range of
    /// a deflection.
    pub(crate) fn aim(&self, threshold: Threshold, beside: Beside, up: bool, axis: usize) -> Deflection {
        let bits = |deflection: Deflection| i32::from(deflection.to_bits());
        let rule = &self.policy.axes[axis];
        let now = bits(self.sticks.axes()[axis]);
        let output = bits(self.output.axes()[axis]);
        let rest = match rule.rest {
            Rest::At(rest) => bits(rest),
            Rest::WhereLeft { .. } => now,
        };
        let (from, size) = match threshold {
            Threshold::Engage => (rest, bits(rule.engage)),
            Threshold::Release => (rest, bits(rule.release)),
            Threshold::Window => (bits(self.other.axes()[axis]), bits(rule.window.unwrap_or_default())),
            Threshold::Beyond => (rest, bits(self.policy.latches.beyond.unwrap_or(rule.engage))),
            Threshold::Plausible => (0, bits(self.policy.plausible)),
            Threshold::Output => (output, 0),
            Threshold::Away => (output, (now - output).abs() + bits(rule.engage)),
        };
        let size = size + beside.offset();
        put(from + if up { size } else { -size })
    }
}

/// The deflection with these bits, limited to the range of a deflection.
pub(crate) fn put(bits: i32) -> Deflection {
    let bits = bits.clamp(i32::from(i16::MIN), i32::from(i16::MAX));
    Deflection::from_bits(i16::try_from(bits).unwrap_or_default())
}
