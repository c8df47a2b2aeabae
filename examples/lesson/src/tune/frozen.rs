//! `frozen_after` (L4) from two recordings of the student's frames: one with hands that fly, one with hands off.
//!
//! A receiver that repeats its last frame is told from a student who rests by the noise of the student's sticks alone.
//! Many transmitters send identical frames while their sticks rest: then there is no limit, and none is recommended.

use handback::Duration;

use super::pace::Pace;
use super::recording::Recording;
use crate::count::seconds;
use crate::error::Fault;
use crate::input::Input;

/// The limit is at least this many times the longest time without a change (own choice).
const MARGIN: f64 = 2.0;
/// A shorter limit than this, in milliseconds, is not recommended: radio links drop frames in bursts (own choice).
const LEAST_MS: f64 = 500.0;
/// A longer limit than this, in milliseconds, comes too late: until then a frozen stick flies the craft (own choice).
const MOST_MS: f64 = 5000.0;
/// The limit is rounded up to a multiple of this, in milliseconds.
const ROUND_MS: f64 = 100.0;
/// Frames that each recording must have: those of two minutes at 50 frames a second.
const LEAST_FRAMES: usize = 6000;
/// The mean of a Poisson count that is 0 with a probability of 5 %: -ln 0.05, the 'rule of three'.
const NONE_SEEN: f64 = 2.995_732_273_553_991;

/// How long the frames of one recording stayed the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stillness {
    pub(crate) lasted_s: f64,
    /// Number of frames in the longest row of identical ones.
    pub(crate) frames: usize,
    /// The longest time from a frame that changed to the next one that changed, or to the end.
    pub(crate) longest_s: f64,
}

/// Both recordings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frozen {
    pub(crate) flown: Stillness,
    pub(crate) rest: Stillness,
}

impl Stillness {
    /// Reads a recording of the student's frames and measures it.
    pub(crate) fn read(input: Input) -> Result<Self, Fault> {
        let recording = Recording::read(input, None)?;
        Pace::of(&recording, LEAST_FRAMES)?;
        Ok(Self::of(&recording))
    }

    fn of(recording: &Recording) -> Self {
        let is_same = |frame: usize| recording.axes.iter().all(|axis| axis[frame].total_cmp(&axis[frame - 1]).is_eq());
        let (mut since, mut longest) = (0, Self { lasted_s: recording.lasted_s(), frames: 0, longest_s: 0.0 });
        for frame in 1..recording.time_us.len() {
            let still_s = seconds(recording.time_us[frame] - recording.time_us[since]);
            longest.longest_s = longest.longest_s.max(still_s);
            if !is_same(frame) {
                since = frame;
            }
            longest.frames = longest.frames.max(frame - since + 1);
        }
        longest
    }

    /// Upper 95 % bound of false alarms per hour where the recording has none: it holds for a student who moves as in
    /// the recording, if false alarms are independent of each other.
    pub(crate) fn per_hour(&self) -> f64 {
        NONE_SEEN / (self.lasted_s / 3600.0)
    }
}

impl Frozen {
    /// The smallest limit with the margin; `None` where it would come too late.
    pub(crate) fn recommended(&self) -> Option<Duration> {
        let longest_ms = 1000.0 * self.flown.longest_s.max(self.rest.longest_s);
        let limit_ms = (MARGIN * longest_ms / ROUND_MS).ceil() * ROUND_MS;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most MOST_MS
        (limit_ms <= MOST_MS).then(|| Duration::from_ticks(limit_ms.max(LEAST_MS) as u32 * 1000))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tune::columns::Unit;

    /// A recording of two axes, a frame every 20 ms; axis 0 changes in each of these frames, axis 1 never.
    fn recording(frames: u64, changes: impl Fn(u64) -> bool) -> Recording {
        let mut at = 1500.0;
        let moved = (0..frames).map(|frame| {
            at += f64::from(u8::from(changes(frame)));
            at
        });
        Recording {
            path: "student.csv".into(),
            names: ["aileron", "elevator"].map(str::to_owned).to_vec(),
            units: vec![Unit::Micros; 2],
            time_us: (0..frames).map(|frame| frame * 20_000).collect(),
            axes: vec![moved.collect(), vec![1500.0; usize::try_from(frames).unwrap()]],
            us_per_point: None,
        }
    }

    fn near(one: f64, other: f64) -> bool {
        (one - other).abs() < 1e-9
    }

    /// Given a recording with known rows of identical frames, then the longest is found, also at its end.
    #[test]
    fn the_longest_row_of_identical_frames_is_found() {
        // Frames 100 to 129 are identical: the next change comes 30 frames after the one before.
        let inside = Stillness::of(&recording(1000, |frame| !(101..130).contains(&frame)));
        assert_eq!(inside.frames, 30);
        assert!(near(inside.longest_s, 0.6) && near(inside.lasted_s, 19.98), "{inside:?}");
        let at_the_end = Stillness::of(&recording(1000, |frame| frame < 960));
        assert_eq!(at_the_end.frames, 41);
        assert!(near(at_the_end.longest_s, 0.8), "{at_the_end:?}");
        let never = Stillness::of(&recording(1000, |_| true));
        assert!(never.frames == 1 && near(never.longest_s, 0.02), "{never:?}");
    }

    /// Given the longest time without a change, then the limit is twice that, rounded up, within its bounds.
    #[test]
    fn the_limit_is_twice_the_longest_stillness_or_none() {
        let limit = |flown: f64, rest: f64| {
            let of = |longest_s| Stillness { lasted_s: 300.0, frames: 1, longest_s };
            let frozen = Frozen { flown: of(flown), rest: of(rest) };
            frozen.recommended().map(|limit| limit.as_ticks() / 1000)
        };
        assert_eq!(limit(0.02, 0.1), Some(500));
        assert_eq!(limit(0.02, 0.61), Some(1300));
        assert_eq!(limit(0.61, 0.02), Some(1300));
        assert_eq!((limit(0.02, 2.5), limit(0.02, 2.501), limit(300.0, 0.02)), (Some(5000), None, None));
    }

    /// Given an hour without a false alarm, then with 95 % confidence there are at most 3.0 an hour, since a Poisson
    /// count of this mean is 0 with a probability of 5 %.
    #[test]
    fn the_bound_is_that_of_no_event() {
        let hour = Stillness { lasted_s: 3600.0, frames: 1, longest_s: 0.0 };
        assert!(near((-hour.per_hour()).exp(), 0.05), "{}", hour.per_hour());
        let minutes = Stillness { lasted_s: 300.0, ..hour };
        assert!(near(minutes.per_hour(), 12.0 * hour.per_hour()));
    }
}
