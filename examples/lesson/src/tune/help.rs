//! The verdict on an axis in a word or two, and the remedy.

use super::Tuning;
use super::advice::Refused;
use super::study::{Study, Thresholds, Verdict, in_points};
use super::words::lasted;
use crate::count::counted;
use crate::trace::Points;

/// The fewest frames that can show slow noise.
const SLOW_IS_KNOWN: usize = 1024;
/// A spring brings its stick nearer to the centre than this, in points. It is wider than any trim (common practice, no
/// source).
const FAR_FROM_CENTRE: f64 = 25.0;

/// The word for a stick that needs no help.
pub(super) const QUIET: &str = "quiet";
/// The word for a stick whose thresholds are a margin.
const NO_RATE: &str = "no rate";

/// The verdict in a word or two.
fn word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Quiet(Thresholds { doubt: Some(_), .. }) => NO_RATE,
        Verdict::Quiet(_) => QUIET,
        Verdict::Refused(Refused::TooShort { .. }) => "too short",
        Verdict::Refused(Refused::NoStep) => "no step",
        Verdict::Refused(Refused::TooNoisy { .. }) => "too noisy",
        Verdict::Moved(_) | Verdict::Jumps(_) | Verdict::Refused(Refused::Moved) => "moved",
        Verdict::NotWatched => "not watched",
    }
}

impl Study {
    pub(crate) fn is_watched(&self) -> bool {
        self.verdict != Verdict::NotWatched
    }

    /// Whether it would get thresholds as a sprung axis but rests too far out for a spring.
    pub(super) fn is_sprung_far_out(&self) -> bool {
        matches!(self.verdict, Verdict::Quiet(_)) && self.sprung && self.off_middle().abs() > FAR_FROM_CENTRE
    }

    /// Distance of its rest from the middle, in points. The zero of an axis in counts is its rest, so only a sweep
    /// shows where the middle is.
    pub(super) fn off_middle(&self) -> f64 {
        match (&self.swept, self.centre_counts) {
            (Some(swept), Some(_)) if swept.high - swept.low >= FAR_FROM_CENTRE => {
                let half = (swept.high - swept.low) / 2.0;
                100.0 * (self.rest.mean - f64::midpoint(swept.low, swept.high)) / half
            }
            _ => self.rest.mean,
        }
    }

    /// The verdict in a word or two.
    pub(crate) fn word(&self) -> &'static str {
        word(&self.verdict)
    }
}

fn takeovers(count: u64) -> String {
    counted(count, "takeover")
}

/// The remedy; for a quiet stick, a note on its jumps.
pub(crate) fn help(study: &Study, tuning: &Tuning) -> Option<String> {
    let rest = &study.rest;
    Some(match &study.verdict {
        Verdict::Refused(why @ Refused::TooShort { wanted, .. }) => {
            // The first 64 frames do not count, nor does a last block of fewer than 64.
            let seconds =
                f64::from(u32::try_from(wanted.saturating_add(128)).unwrap_or(u32::MAX)) * tuning.pace.frame_s;
            let slow = if rest.step == 0.0 {
                "; its readings never changed, but so short a recording does not show that the stick is quiet"
                    .to_owned()
            } else if rest.frames >= SLOW_IS_KNOWN
                && rest.independent * 2.0 < f64::from(u32::try_from(rest.frames).unwrap_or(u32::MAX))
            {
                "; its noise is slow, so frames are not independent".to_owned()
            } else {
                String::new()
            };
            format!("{why}, {} in all{slow}", lasted(seconds.ceil()))
        }
        Verdict::Refused(why) => why.to_string(),
        Verdict::Moved(moved) => format!(
            "{:.1} s after the beginning it was {:.1} points off for three frames or more, which noise does not \
             explain: record it again, hands off; if it was not touched, check plug and potentiometer",
            moved.at_s, moved.points
        ),
        Verdict::Jumps(Thresholds { engage, confirm, counted, .. }) if rest.drift > in_points(*engage) / 2.0 => {
            format!(
                "even with engage {} and confirm {confirm} the engine counted {} in this recording: it drifts by {:.2} points: \
             record it again when it is warm; if that does not help, check its potentiometer",
                Points(*engage),
                takeovers(*counted),
                rest.drift,
            )
        }
        Verdict::Jumps(Thresholds { engage, confirm, counted, .. }) => format!(
            "even with engage {} and confirm {confirm} the engine counted {} in this recording: its readings jump, or a \
             hand moved it: record it again, hands off; if that does not help, check plug and potentiometer",
            Points(*engage),
            takeovers(*counted),
        ),
        Verdict::Quiet(Thresholds { raised_from: Some((confirm, counted)), .. }) => format!(
            "its readings jump: its noise alone would need confirm {confirm}, with which the engine counted {} in this \
             recording; confirm is raised",
            takeovers(*counted),
        ),
        Verdict::Quiet(Thresholds { confirm, .. })
            if study.needs.iter().take(usize::from(*confirm) - 1).any(Option::is_none) =>
        {
            format!("its readings jump, for fewer than {confirm} frames in a row: confirm filters these jumps out")
        }
        Verdict::Quiet(_) | Verdict::NotWatched => return None,
    })
}
