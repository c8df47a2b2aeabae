//! Time: the caller's wrapping instants, durations, and timers that saturate.
//!
//! The engine uses only differences of instants, so a wrap in the middle of a lesson changes nothing, and an instant
//! before the last one reads as a very long step: a stall (K1), which is the safe side.

/// A moment on the caller's free-running 32-bit microsecond counter, which wraps every 71.6 minutes.
///
/// ```
/// let _now = handback::Instant::from_ticks(4_294_967_295); // one microsecond before the wrap
/// ```
pub type Instant = fugit::WrappingTimerInstantU32<1_000_000>;

/// A length of time in microseconds; a policy takes up to half the clock's range, 35.8 minutes.
///
/// ```
/// assert_eq!(handback::Duration::from_millis(300).as_ticks(), 300_000);
/// ```
pub type Duration = fugit::MicrosDurationU32;

/// The last instant seen, for the difference to the next.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock {
    last: Option<Instant>,
}

impl Clock {
    pub(crate) const fn new() -> Self {
        Self { last: None }
    }

    /// Time since the step before; 0 in the first step.
    pub(crate) fn advance(&mut self, now: Instant) -> Duration {
        let last = self.last.replace(now).unwrap_or(now);
        Duration::from_ticks(now.as_ticks().wrapping_sub(last.as_ticks()))
    }
}

/// How long something has lasted, in microseconds; saturates instead of wrapping.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Elapsed(u32);

impl Elapsed {
    pub(crate) const ZERO: Self = Self(0);
    /// Longer than any duration that a policy may hold.
    pub(crate) const ENDLESS: Self = Self(u32::MAX);

    pub(crate) fn advance(&mut self, dt: Duration) {
        self.0 = self.0.saturating_add(dt.as_ticks());
    }

    /// For durations that grant something: over when elapsed >= d.
    pub(crate) const fn reached(self, d: Duration) -> bool {
        self.0 >= d.as_ticks()
    }

    /// For durations that lose something: over when elapsed > d.
    pub(crate) const fn exceeded(self, d: Duration) -> bool {
        self.0 > d.as_ticks()
    }

    /// What is left until `d` is reached, 0 once it is.
    pub(crate) const fn left_of(self, d: Duration) -> Duration {
        Duration::from_ticks(d.as_ticks().saturating_sub(self.0))
    }

    pub(crate) const fn ticks(self) -> u32 {
        self.0
    }
}
