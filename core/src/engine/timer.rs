//! Timers of the engine, in microseconds: ages and remaining times, which saturate, and instants since when.

use crate::quantity::{Duration, Instant};

/// How old something is, in microseconds; saturates instead of wrapping.
#[derive(Clone, Copy, Debug, Hash)]
pub(super) struct Age(u32);

impl Age {
    pub(super) const NEW: Self = Self(0);
    /// Older than any duration that a policy may hold.
    pub(super) const ENDLESS: Self = Self(u32::MAX);

    pub(super) const fn pass(&mut self, dt: Duration) -> Self {
        self.0 = self.0.saturating_add(dt.as_ticks());
        *self
    }

    /// The same age, or the least that exceeds `d`.
    #[cfg(feature = "states")]
    pub(super) fn normal(self, d: Duration) -> Self {
        Self(self.0.min(d.as_ticks().saturating_add(1)))
    }

    /// Whether a duration that loses a signal is over: the age is greater than it.
    pub(super) const fn exceeded(self, d: Duration) -> bool {
        self.0 > d.as_ticks()
    }
}

/// The instant at which a stay (R2), a wait (T6) or a fade (H4) began.
///
/// The time since then is exact, although instants wrap after 2^32 us. In the last step that looked, the duration was
/// not over, so less than 2^31 us had passed. Since then no more than 2^31 us passed: a late step (K1) and, for a stay,
/// a lost signal (I1) would have ended it.
#[derive(Clone, Copy, Debug, Hash)]
pub(super) struct Since(pub(super) u32);

impl Since {
    pub(super) const NEVER: Self = Self(0);

    /// The time until `now`, in microseconds.
    pub(super) const fn passed(self, now: Instant) -> u32 {
        now.as_ticks().wrapping_sub(self.0)
    }

    /// As long before instant 0 as it is before `now`, or `d` before.
    #[cfg(feature = "states")]
    pub(super) fn normal(self, now: Instant, d: Duration) -> Self {
        Self(0_u32.wrapping_sub(self.passed(now).min(d.as_ticks())))
    }
}

/// Remaining time of a duration, in microseconds. It counts down: once it is over, a step does
/// nothing and reads nothing of the policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Left(u32);

impl Left {
    /// The duration is over.
    pub(super) const OVER: Self = Self(0);
    /// The duration has not begun; no duration of a policy is this long.
    pub(super) const NOT_BEGUN: Self = Self(u32::MAX);

    pub(super) const fn all_of(d: Duration) -> Self {
        Self(d.as_ticks())
    }

    /// The shortest time longer than `d`, for a duration that loses a signal: it is over when elapsed > `d`.
    pub(super) const fn just_past(d: Duration) -> Self {
        Self(d.as_ticks().saturating_add(1))
    }

    pub(super) const fn pass(&mut self, dt: Duration) {
        self.0 = self.0.saturating_sub(dt.as_ticks());
    }

    pub(super) const fn is_over(self) -> bool {
        self.0 == 0
    }

    pub(super) const fn has_begun(self) -> bool {
        self.0 != u32::MAX
    }

    /// Remaining time of `d`; all of it where it has not begun.
    pub(super) const fn of(self, d: Duration) -> Duration {
        if self.has_begun() { Duration::from_ticks(self.0) } else { d }
    }
}
