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

/// The time of a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Time {
    /// Since the step before; 0 in the first one.
    pub(crate) dt: Duration,
    /// The step came too late (K1).
    pub(crate) stalled: bool,
}

impl Clock {
    pub(crate) const fn new() -> Self {
        Self { last: None }
    }

    pub(crate) fn step(&mut self, now: Instant, stall: Duration) -> Time {
        let last = self.last.replace(now).unwrap_or(now);
        let dt = Duration::from_ticks(now.as_ticks().wrapping_sub(last.as_ticks()));
        Time { dt, stalled: dt.as_ticks() > stall.as_ticks() }
    }
}

/// How long something has lasted, in microseconds; saturates instead of wrapping.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Elapsed(u32);

impl Elapsed {
    pub(crate) const ZERO: Self = Self(0);
    /// Longer than any duration that a policy may hold.
    pub(crate) const ENDLESS: Self = Self(u32::MAX);

    pub(crate) const fn after(self, dt: Duration) -> Self {
        Self(self.0.saturating_add(dt.as_ticks()))
    }

    pub(crate) const fn advance(&mut self, dt: Duration) {
        *self = self.after(dt);
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
