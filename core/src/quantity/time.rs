//! Time: the caller's wrapping instants, and durations.
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
