//! The times of the frames of one side.

use handback::{Duration, Instant};

/// A train is lost after this time without a frame, in microseconds. Own choice.
const LOST: u32 = 1_000_000;

/// The frame length of a train that had only one frame, in microseconds.
const COMMON: u32 = 20_000;

/// The last frame, and the time that all frames took.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Pace {
    last: Option<Instant>,
    us: u64,
    frames: u32,
}

impl Pace {
    pub(crate) fn frame(&mut self, now: Instant) {
        if let Some(last) = self.last.replace(now) {
            self.us = self.us.saturating_add(passed(last, now).into());
            self.frames = self.frames.saturating_add(1);
        }
    }

    /// Whether there were frames, and then none for too long.
    pub(crate) fn is_lost(&self, now: Instant) -> bool {
        self.last.is_some_and(|last| passed(last, now) > LOST)
    }

    /// The mean time from frame to frame.
    pub(crate) fn frame_length(&self) -> Duration {
        let mean = self.us.checked_div(self.frames.into()).and_then(|us| u32::try_from(us).ok());
        Duration::from_ticks(mean.unwrap_or(COMMON).max(1_000))
    }
}

/// The time from `since` to `now` in microseconds. The clock may wrap.
pub(crate) const fn passed(since: Instant, now: Instant) -> u32 {
    now.as_ticks().wrapping_sub(since.as_ticks())
}
