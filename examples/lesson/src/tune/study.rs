//! One axis of a recording, studied: its noise, its verdict, and what the picture shows of it.

use handback::{AxisRule, Deflection, Rest};

use super::advice::{Advice, Reading, Refused, Stray, Target, UNIT, advise};
use super::counted::{nearest, poisson_band, takeovers, with};
use super::doubt::Doubt;
use super::histogram::Histogram;
use super::hum::Hum;
use super::pace::median;
use super::recording::Recording;
use super::rest::AxisRest;
use super::spectrum::Spectrum;
use super::sweep::Swept;

/// A stick at rest is no further than this from where it was first, in points; the device asks the same of 4095 steps.
const FURTHEST: f64 = 51.0;
/// Rows of three frames that are further out than this many deviations were made by a hand, or a loose wire.
const BY_HAND: f64 = 8.0;
/// And than this many points.
const LEAST_BY_HAND: f64 = 1.0;
/// A median distance from the median is so much of a normal deviation.
const MEDIAN_DISTANCE: f64 = 0.6745;
/// So many times as far as the largest threshold in question; words fit beside it.
const REACH: f64 = 1.5;
/// Thresholds at which takeovers are counted, between nothing and the furthest reading.
const COUNTED_AT: u32 = 12;

/// Where a stick was moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moved {
    /// When, in seconds from the beginning.
    pub(crate) at_s: f64,
    /// How far from its rest, in points.
    pub(crate) points: f64,
}

/// What became of an axis.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Verdict {
    /// It has thresholds that hold the target.
    Quiet(Thresholds),
    /// It has none.
    Refused(Refused),
    /// A hand moved it.
    Moved(Moved),
    /// The engine took the craft more often than is wanted with every confirm, the last time with these thresholds.
    Jumps(Thresholds),
    /// It cannot take the craft, and is left as it was.
    NotWatched,
}

/// The thresholds of an axis, as the engine will have them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Thresholds {
    pub(crate) engage: Deflection,
    pub(crate) release: Deflection,
    pub(crate) confirm: u8,
    /// Takeovers that the engine counted with them in the recording.
    pub(crate) counted: u64,
    /// The confirm that noise alone asks for, where the recording itself shows that it is not enough, and how many
    /// takeovers the engine counted with it.
    pub(crate) raised_from: Option<(u8, u64)>,
    /// Why they are a margin and claim no rate.
    pub(crate) doubt: Option<Doubt>,
}

/// One axis, studied.
pub(crate) struct Study {
    pub(crate) name: String,
    pub(crate) sprung: bool,
    pub(crate) rest: AxisRest,
    pub(crate) verdict: Verdict,
    pub(crate) target: Target,
    pub(crate) reading: Reading,
    pub(crate) histogram: Histogram,
    pub(crate) spectrum: Spectrum,
    pub(crate) hum: Option<Hum>,
    pub(crate) counts: [Vec<Counted>; 3],
    pub(crate) swept: Option<Swept>,
    /// The threshold, in points, that one, two and three frames of confirm need for the target; `None` where the recording
    /// shows rows that no such noise explains, or jumps that come too often.
    pub(crate) needs: [Option<f64>; 3],
    /// Of a converter: where it rests, in counts.
    pub(crate) centre_counts: Option<f64>,
}

/// Takeovers counted at one threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Counted {
    /// In points.
    pub(crate) engage: f64,
    pub(crate) takeovers: u64,
}

/// What is known of an axis besides its readings.
pub(super) struct Given<'a> {
    pub(super) name: &'a str,
    pub(super) rule: AxisRule,
    pub(super) watched: bool,
    pub(super) target: Target,
    pub(super) reading: Reading,
    pub(super) swept: Option<Swept>,
    pub(super) centre_counts: Option<f64>,
}

impl Study {
    /// Studies the readings of an axis at rest, in points.
    pub(super) fn of(given: Given<'_>, recording: &Recording, points: &[f64], rest: AxisRest) -> Self {
        let Given { name, mut rule, watched, target, reading, swept, centre_counts } = given;
        let sprung = matches!(rule.rest, Rest::At(_));
        if sprung {
            rule.rest = Rest::At(nearest(rest.mean));
        }
        let count = |rule| takeovers(&recording.time_us, points, rule, target.frame_s);
        let scatter = swept.as_ref().map_or(0.0, |swept| swept.scatter);
        let spectrum = Spectrum::of(points, rest.mean, target.frame_s);
        let hum = Hum::of(&spectrum);
        let stray = Stray::of(&rest, sprung, scatter, reading);
        let doubt = Doubt::of(&rest, &stray, reading.step.unwrap_or(0.0), target.frame_s, hum.is_some());
        let needs = [1, 2, 3].map(|confirm| stray.needs(&rest, doubt, &target, confirm));
        let verdict = if !watched {
            Verdict::NotWatched
        } else if let Some(moved) = moved(recording, points, &rest) {
            Verdict::Moved(moved)
        } else {
            match advise(&rest, &stray, doubt, &target) {
                Ok(advice) => {
                    let thresholds = Thresholds { doubt, ..Thresholds::of(&advice) };
                    settled(thresholds, &stray, needs, &rest, &target, |thresholds| {
                        let Thresholds { engage, release, confirm, .. } = *thresholds;
                        count(with(rule, engage, release, confirm))
                    })
                }
                Err(why) => Verdict::Refused(why),
            }
        };
        // As far as a threshold may be of interest, and as far as there is anything to count.
        let furthest = (rest.high - rest.mean).max(rest.mean - rest.low).min(reach(needs, target.least));
        let counts = [1, 2, 3].map(|confirm| {
            let at = |n| furthest * f64::from(n) / f64::from(COUNTED_AT);
            let counted = (1..COUNTED_AT).map(at).filter(|&engage| up(engage).to_bits() > 0).map(|engage| {
                let (engage, release) = (up(engage), up(engage / 2.0));
                let release = release.min(Deflection::from_bits(engage.to_bits() - 1));
                Counted { engage: in_points(engage), takeovers: count(with(rule, engage, release, confirm)) }
            });
            counted.filter(|counted| counted.takeovers > 0).collect()
        });
        Self {
            name: name.to_owned(),
            sprung,
            verdict,
            target,
            reading,
            histogram: Histogram::of(points, rest.mean, rest.deviation, rest.step),
            spectrum,
            hum,
            counts,
            swept,
            needs,
            centre_counts,
            rest,
        }
    }

    /// The thresholds, where there are any.
    pub(crate) fn thresholds(&self) -> Option<Thresholds> {
        match self.verdict {
            Verdict::Quiet(thresholds) => Some(thresholds),
            _ => None,
        }
    }

    /// How a stick strays that has this many times the measured noise.
    fn stray(&self, factor: f64) -> Stray {
        let scatter = self.swept.as_ref().map_or(0.0, |swept| swept.scatter);
        Stray::of(&self.rest, self.sprung, scatter, self.reading).with_deviation(self.rest.deviation * factor)
    }

    /// Takeovers an hour at a threshold in points, and the most they may be with 95 % confidence. The stick is as far off
    /// its rest as it may be.
    pub(crate) fn per_hour(&self, engage: f64, confirm: u8) -> Rates {
        Rates { expected: self.expected(engage, confirm, 1.0, 1.0), most: self.most(engage, confirm, 1.0) }
    }

    /// The most takeovers an hour, with 95 % confidence: neither the size of the noise nor its shape is known better than
    /// the recording is long.
    pub(crate) fn most(&self, engage: f64, confirm: u8, off: f64) -> f64 {
        let [_, size] = self.rest.band();
        let stray = self.stray(size);
        let shape = self.rest.tails(stray.deviations(engage, off * stray.offset()), confirm);
        (self.expected(engage, confirm, off, size) * shape).min(3600.0 / self.target.frame_s)
    }

    /// Takeovers an hour, were the noise this many times what was measured. `off` is where the stick is: 0 at its rest, 1
    /// as far off it as it may be.
    pub(crate) fn expected(&self, engage: f64, confirm: u8, off: f64, factor: f64) -> f64 {
        let stray = self.stray(factor);
        stray.per_frame(engage, off * stray.offset(), confirm) * 3600.0 / self.target.frame_s
    }

    /// Effective number of independent frames; frames of hum repeat each other.
    pub(crate) fn independent(&self) -> f64 {
        self.rest.independent * (1.0 - self.hum.map_or(0.0, |hum| hum.share))
    }

    /// How far off its rest the stick may be for as long as it likes, as it drifted and as its spring left it; in points.
    pub(crate) fn offset(&self) -> f64 {
        self.stray(1.0).offset()
    }
}

/// Takeovers an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rates {
    pub(crate) expected: f64,
    pub(crate) most: f64,
}

impl Thresholds {
    /// Rounded to what the engine can hold, never to less.
    fn of(advice: &Advice) -> Self {
        let engage = up(advice.engage);
        let below = Deflection::from_bits(engage.to_bits() - 1);
        let release = up(advice.release).min(below);
        Self { engage, release, confirm: advice.confirm, counted: 0, raised_from: None, doubt: None }
    }
}

/// The thresholds, held to the recording itself: where the engine takes the craft in it more often than the target can
/// explain, noise is not all that there is, and more frames must confirm.
fn settled(
    mut thresholds: Thresholds,
    stray: &Stray,
    needs: [Option<f64>; 3],
    rest: &AxisRest,
    target: &Target,
    count: impl Fn(&Thresholds) -> u64,
) -> Verdict {
    let frames = f64::from(u32::try_from(rest.frames).unwrap_or(u32::MAX));
    let holds = |counted: u64| poisson_band(counted)[0] <= target.per_frame() * frames;
    thresholds.counted = count(&thresholds);
    let first = (thresholds.confirm, thresholds.counted);
    for confirm in thresholds.confirm + 1..=3 {
        if holds(thresholds.counted) {
            break;
        }
        let Some(engage) = needs[usize::from(confirm) - 1].filter(|&engage| engage <= target.most) else { continue };
        let release = stray.release().max(engage / 2.0).min(engage - UNIT);
        thresholds = Thresholds {
            raised_from: Some(first),
            doubt: Some(thresholds.doubt.unwrap_or(Doubt::Counted)),
            ..Thresholds::of(&Advice { engage, release, confirm })
        };
        thresholds.counted = count(&thresholds);
    }
    if holds(thresholds.counted) { Verdict::Quiet(thresholds) } else { Verdict::Jumps(thresholds) }
}

/// The least deflection that is no less than so many points.
pub(crate) fn up(points: f64) -> Deflection {
    // A threshold that is a deflection already stays that one, whatever its points lost as a float.
    #[allow(clippy::cast_possible_truncation)] // it saturates
    Deflection::from_bits((points * 163.84 - 1e-6).ceil() as i16)
}

/// So far from the rest a threshold may be of interest, in points.
pub(crate) fn reach(needs: [Option<f64>; 3], least: f64) -> f64 {
    REACH * needs.into_iter().flatten().fold(least, f64::max)
}

/// Deflection units as points.
pub(crate) fn in_points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) / 163.84
}

/// Whether a hand moved the stick: one that is told from noise by being much further out than most frames, for three
/// frames in a row. Noise, however slow, has most frames near half its largest distance.
fn moved(recording: &Recording, points: &[f64], rest: &AxisRest) -> Option<Moved> {
    let middle = median(points);
    let off = points.iter().map(|at| (at - middle).abs()).collect::<Vec<_>>();
    let usual = median(&off) / MEDIAN_DISTANCE;
    let far = (BY_HAND * usual).max(LEAST_BY_HAND).max(3.0 * rest.step).min(FURTHEST);
    let at = off.windows(3).position(|row| row.iter().all(|&off| off > far))?;
    let furthest = off[at..].iter().copied().take_while(|&off| off > far).fold(0.0, f64::max);
    Some(Moved { at_s: super::seconds(recording.time_us[at] - recording.time_us[0]), points: furthest })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::Points;

    /// Given any threshold, when it is rounded, then it is rounded up to a unit, and its text reads back as the same
    /// deflection.
    #[test]
    fn thresholds_are_rounded_up_and_written_exactly() {
        for n in 0..4000 {
            let engage = 1.0 + f64::from(n) * 0.003_71;
            let (release, confirm) = (engage / 2.0, 1);
            let rounded = Thresholds::of(&Advice { engage, release, confirm });
            for (asked, got) in [(engage, rounded.engage), (release, rounded.release)] {
                let written = Points(got).to_string().parse::<f64>().unwrap();
                assert_eq!(nearest(written), got, "{written}");
                assert!((-1e-7..=UNIT).contains(&(in_points(got) - asked)), "{asked}: {got}");
            }
        }
        // A value that already is a deflection stays the same.
        for bits in [164, 328, 329, 1311] {
            assert_eq!(up(in_points(Deflection::from_bits(bits))), Deflection::from_bits(bits));
        }
    }
}
