//! The pace of a recording: the time from one frame to the next, jitter, and dropped frames.

use std::path::Path;

use super::recording::Recording;
use crate::count::seconds;
use crate::error::Fault;

/// The shortest and the longest median time from frame to frame: 1000 frames a second, and 1.
const INTERVALS_S: [f64; 2] = [0.001, 1.0];
/// Number of parts of the recording whose medians are compared.
const PARTS: usize = 10;
/// The largest allowed ratio of the medians of two parts.
const ALIKE: f64 = 1.5;

/// The pace of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pace {
    /// The median time from frame to frame, in seconds.
    pub(crate) frame_s: f64,
    /// Number of missing frames, from the lengths of the gaps.
    pub(crate) dropped: u64,
    /// The longest interval, in seconds.
    pub(crate) longest_s: f64,
    /// Half the width of the range about the median that holds 19 of 20 intervals, gaps aside; in seconds.
    pub(crate) jitter_s: f64,
}

impl Pace {
    /// The pace of a recording with at least `least` frames.
    pub(crate) fn of(recording: &Recording, least: usize) -> Result<Self, Fault> {
        let (path, count) = (&recording.path, recording.time_us.len());
        if count < least {
            let found = format!("has {count} frames, fewer than the {least} that are needed");
            return Err(Fault::new(path, found, "record for minutes, not seconds"));
        }
        let apart = recording.time_us.windows(2).map(|pair| seconds(pair[1] - pair[0])).collect::<Vec<_>>();
        let frame_s = median(&apart);
        let [shortest, longest] = INTERVALS_S;
        if !(shortest..=longest).contains(&frame_s) {
            let found = format!("has a frame every {frame_s:.6} s (median)");
            let remedy = "give 1 to 1000 frames a second; check the unit of the time: time_us or time_s";
            return Err(Fault::new(path, found, remedy));
        }
        check_steady(path, &apart, frame_s)?;
        let gap = |interval: f64| interval > 1.5 * frame_s;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count
        let dropped =
            apart.iter().filter(|&&interval| gap(interval)).map(|&gap| (gap / frame_s).round() as u64 - 1).sum();
        let mut off =
            apart.iter().filter(|&&interval| !gap(interval)).map(|one| (one - frame_s).abs()).collect::<Vec<_>>();
        off.sort_by(f64::total_cmp);
        let jitter_s = off.get(off.len() * 19 / 20).or(off.last()).copied().unwrap_or(0.0);
        let longest_s = apart.iter().copied().fold(0.0, f64::max);
        Ok(Self { frame_s, dropped, longest_s, jitter_s })
    }
}

/// Requires one rate from beginning to end: the correlation from frame to frame depends on the rate.
fn check_steady(path: &Path, apart: &[f64], frame_s: f64) -> Result<(), Fault> {
    let length = apart.len().div_ceil(PARTS).max(1);
    let medians = apart.chunks(length).filter(|part| part.len() * 2 > length).map(median);
    let (least, most) = medians.fold((f64::MAX, 0.0_f64), |(least, most), here| (least.min(here), most.max(here)));
    let remedy = "record at one rate: split the file where the rate changes, and give one part";
    if most > least * ALIKE {
        let found =
            format!("mixes frame rates: {:.1} ms from frame to frame here, {:.1} ms there", ms(least), ms(most));
        return Err(Fault::new(path, found, remedy));
    }
    let near = apart.iter().filter(|&&interval| (interval - frame_s).abs() <= frame_s / 2.0).count();
    if near * 2 < apart.len() {
        let found = format!("has no steady frame rate: fewer than half of the frames come {:.1} ms apart", ms(frame_s));
        return Err(Fault::new(path, found, "give the time at which each frame came, not when it was written down"));
    }
    Ok(())
}

fn ms(seconds: f64) -> f64 {
    seconds * 1000.0
}

/// The lower median; 0 where there are no values.
pub(super) fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len().saturating_sub(1) / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pace(times_ms: impl IntoIterator<Item = u64>) -> Result<Pace, String> {
        let time_us = times_ms.into_iter().map(|ms| ms * 1000).collect();
        let path = "r.csv".into();
        let recording = Recording { path, names: vec![], units: vec![], time_us, axes: vec![], us_per_point: None };
        Pace::of(&recording, 4).map_err(|why| why.to_string())
    }

    #[test]
    fn the_interval_is_the_median_and_a_gap_is_dropped_frames() {
        let steady = pace((0..100).map(|n| n * 20)).unwrap();
        assert_eq!(steady, Pace { frame_s: 0.02, dropped: 0, longest_s: 0.02, jitter_s: 0.0 });
        let gap = pace((0..100).map(|n| n * 20 + if n >= 50 { 100 } else { 0 })).unwrap();
        assert_eq!(
            (gap.dropped, gap.frame_s.to_bits(), gap.longest_s.to_bits()),
            (5, 0.02_f64.to_bits(), 0.12_f64.to_bits())
        );
        let jitter = pace((0..100).map(|n| n * 20 + n % 2 * 2)).unwrap();
        assert!((jitter.jitter_s - 0.004).abs() < 1e-9, "{jitter:?}");
    }

    #[test]
    fn what_is_too_short_too_fast_or_has_no_one_rate_is_refused() {
        assert!(pace(0..3).unwrap_err().contains("has 3 frames, fewer than the 4 that are needed"));
        assert!(pace((0..100).map(|n| n * 2000)).unwrap_err().contains("a frame every 2.000000 s (median); give 1 to"));
        let mixed = (0..50).map(|n| n * 20).chain((0..50).map(|n| 1000 + n * 10));
        assert!(
            pace(mixed).unwrap_err().contains("mixes frame rates: 10.0 ms from frame to frame here, 20.0 ms there")
        );
        let batches = (0..100).map(|n| n / 3 * 60);
        assert!(pace(batches).unwrap_err().contains("a frame every 0.000000 s"));
    }
}
