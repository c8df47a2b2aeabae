//! Time: the caller's wrapping instants, durations, and timers that saturate.
//!
//! The engine uses only differences of instants, so a wrap during a lesson changes nothing. An instant before the last
//! one gives a very long step. That is a late step (K1), which is the safe side.

/// A moment on the caller's free-running 32-bit microsecond counter, which wraps every 71.6 minutes.
///
/// ```
/// let _now = handback::Instant::from_ticks(4_294_967_295); // one microsecond before the wrap
/// ```
pub type Instant = fugit::WrappingTimerInstantU32<1_000_000>;

/// A length of time in microseconds; a policy accepts up to half the clock's range, 35.8 minutes.
///
/// ```
/// assert_eq!(handback::Duration::from_millis(300).as_ticks(), 300_000);
/// ```
pub type Duration = fugit::MicrosDurationU32;

/// How old something is, in microseconds; saturates instead of wrapping.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Age(u32);

impl Age {
    pub(crate) const NEW: Self = Self(0);
    /// Older than any duration that a policy may hold.
    pub(crate) const ENDLESS: Self = Self(u32::MAX);

    pub(crate) const fn pass(&mut self, dt: Duration) -> Self {
        self.0 = self.0.saturating_add(dt.as_ticks());
        *self
    }

    /// Whether a duration that loses a signal is over: the age is greater than it.
    pub(crate) const fn exceeded(self, d: Duration) -> bool {
        self.0 > d.as_ticks()
    }
}

/// Remaining time of a duration that grants something, in microseconds. It counts down: once it is over, a step does
/// nothing and reads nothing of the policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Left(u32);

impl Left {
    /// The duration is over.
    pub(crate) const OVER: Self = Self(0);
    /// The duration has not begun; no duration of a policy is this long.
    pub(crate) const NOT_BEGUN: Self = Self(u32::MAX);

    pub(crate) const fn all_of(d: Duration) -> Self {
        Self(d.as_ticks())
    }

    pub(crate) const fn pass(&mut self, dt: Duration) {
        self.0 = self.0.saturating_sub(dt.as_ticks());
    }

    pub(crate) const fn is_over(self) -> bool {
        self.0 == 0
    }

    pub(crate) const fn has_begun(self) -> bool {
        self.0 != u32::MAX
    }

    /// Remaining time of `d`; all of it where it has not begun.
    pub(crate) const fn of(self, d: Duration) -> Duration {
        if self.has_begun() { Duration::from_ticks(self.0) } else { d }
    }

    /// Elapsed time of `d`.
    pub(crate) const fn passed_of(self, d: Duration) -> u32 {
        d.as_ticks().saturating_sub(self.0)
    }
}
