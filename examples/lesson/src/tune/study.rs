//! The study of one axis of a recording: its noise, its verdict, and the data for its picture.

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

/// A stick at rest stays within this distance of its median, in points. The device has a limit of 4095 steps: 51 points
/// of a pulse.
const FURTHEST: f64 = 51.0;
/// Rows of three frames beyond this many deviations come from a hand or a loose wire.
const BY_HAND: f64 = 8.0;
/// The same rows must also be beyond this many points.
const LEAST_BY_HAND: f64 = 1.0;
/// The median distance from the median of normal noise, in standard deviations.
const MEDIAN_DISTANCE: f64 = 0.6745;
/// The chart reaches this many times as far as its largest threshold, to leave room for a label beside it.
const REACH: f64 = 1.5;
/// Takeovers are counted at the thresholds n / 12 of the furthest distance, n = 1 to 11.
const COUNTED_AT: u32 = 12;

/// A movement of the stick.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Moved {
    /// Its time, in seconds from the beginning.
    pub(crate) at_s: f64,
    /// Its largest distance from the median, in points.
    pub(crate) points: f64,
}

/// The verdict on an axis.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Verdict {
    /// It has thresholds that hold the target or, where there is a doubt, keep the margin.
    Quiet(Thresholds),
    /// It has no thresholds.
    Refused(Refused),
    /// A hand moved it.
    Moved(Moved),
    /// With every `confirm` the engine took the craft more often than the target allows. These are the last thresholds
    /// that were tried.
    Jumps(Thresholds),
    /// It cannot take the craft; its rule does not change.
    NotWatched,
}

/// The thresholds of an axis, rounded to deflections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Thresholds {
    pub(crate) engage: Deflection,
    pub(crate) release: Deflection,
    pub(crate) confirm: u8,
    /// Number of takeovers by the engine in the recording, with these thresholds.
    pub(crate) counted: u64,
    /// Where the recording shows that the `confirm` for its noise alone is too small: that `confirm`, and the number of
    /// takeovers by the engine with it.
    pub(crate) raised_from: Option<(u8, u64)>,
    /// Why they are a margin and no rate is claimed; `None` where a rate is claimed.
    pub(crate) doubt: Option<Doubt>,
}

/// The results for one axis.
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
    /// The smallest threshold in points for a `confirm` of 1, 2 and 3. `None` where the recording has rows that noise
    /// does not explain, or jumps that come too often.
    pub(crate) needs: [Option<f64>; 3],
    /// The rest in counts, where the axis is in counts of a converter.
    pub(crate) centre_counts: Option<f64>,
}

/// The takeovers counted at one threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Counted {
    /// The threshold, in points.
    pub(crate) engage: f64,
    pub(crate) takeovers: u64,
}

/// The input of a study besides the readings.
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
        // No further than the chart reaches, and no further than the furthest reading.
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

    /// The stray of the stick, with its noise scaled by `factor`.
    fn stray(&self, factor: f64) -> Stray {
        let scatter = self.swept.as_ref().map_or(0.0, |swept| swept.scatter);
        Stray::of(&self.rest, self.sprung, scatter, self.reading).with_deviation(self.rest.deviation * factor)
    }

    /// Expected takeovers per hour at a threshold in points, with the upper 95 % bound. The stick is at its largest
    /// offset from the rest.
    pub(crate) fn per_hour(&self, engage: f64, confirm: u8) -> Rates {
        Rates { expected: self.expected(engage, confirm, 1.0, 1.0), most: self.most(engage, confirm, 1.0) }
    }

    /// Upper 95 % bound of the takeovers per hour. It covers the errors of the size and of the tails of the noise, both
    /// of which depend on the length of the recording. `off` as in `expected`.
    pub(crate) fn most(&self, engage: f64, confirm: u8, off: f64) -> f64 {
        let [_, size] = self.rest.band();
        let stray = self.stray(size);
        let shape = self.rest.tails(stray.deviations(engage, off * stray.offset()), confirm);
        (self.expected(engage, confirm, off, size) * shape).min(3600.0 / self.target.frame_s)
    }

    /// Expected takeovers per hour, with the noise scaled by `factor`. `off` is the offset of the stick as a share of
    /// the largest: 0 is at its rest, 1 is the largest offset.
    pub(crate) fn expected(&self, engage: f64, confirm: u8, off: f64, factor: f64) -> f64 {
        let stray = self.stray(factor);
        stray.per_frame(engage, off * stray.offset(), confirm) * 3600.0 / self.target.frame_s
    }

    /// Effective number of independent frames, less the share of hum, whose frames are not independent.
    pub(crate) fn independent(&self) -> f64 {
        self.rest.independent * (1.0 - self.hum.map_or(0.0, |hum| hum.share))
    }

    /// The largest lasting distance from the rest, in points: drift plus scatter of the spring.
    pub(crate) fn offset(&self) -> f64 {
        self.stray(1.0).offset()
    }
}

/// Takeovers per hour: the expected rate and its upper 95 % bound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Rates {
    pub(crate) expected: f64,
    pub(crate) most: f64,
}

impl Rates {
    /// What to say of a bound that says nothing about a lesson: above one an hour.
    pub(crate) fn doubt(self) -> &'static str {
        if self.most < 1.0 { "" } else { "; the recording is too short to be sure" }
    }
}

impl Thresholds {
    /// Rounds both thresholds up to deflections; `release` stays below `engage`.
    fn of(advice: &Advice) -> Self {
        let engage = up(advice.engage);
        let below = Deflection::from_bits(engage.to_bits() - 1);
        let release = up(advice.release).min(below);
        Self { engage, release, confirm: advice.confirm, counted: 0, raised_from: None, doubt: None }
    }
}

/// Tests the thresholds on the recording itself. Where the engine takes the craft more often than the target explains,
/// `confirm` is raised, and no rate is claimed.
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

/// The smallest deflection of at least this many points; it saturates.
pub(crate) fn up(points: f64) -> Deflection {
    // The 1e-6 keeps the value of a threshold that already is a deflection, despite rounding errors.
    #[allow(clippy::cast_possible_truncation)] // it saturates
    Deflection::from_bits((points * 163.84 - 1e-6).ceil() as i16)
}

/// The largest threshold that the chart shows, in points.
pub(crate) fn reach(needs: [Option<f64>; 3], least: f64) -> f64 {
    REACH * needs.into_iter().flatten().fold(least, f64::max)
}

/// A deflection in points.
pub(crate) fn in_points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) / 163.84
}

/// The first movement by a hand: three frames in a row that are much further out than most frames. Noise does not have
/// them, however slow it is: most of its frames are near half its largest distance.
fn moved(recording: &Recording, points: &[f64], rest: &AxisRest) -> Option<Moved> {
    let middle = median(points);
    let off = points.iter().map(|at| (at - middle).abs()).collect::<Vec<_>>();
    let usual = median(&off) / MEDIAN_DISTANCE;
    let far = (BY_HAND * usual).max(LEAST_BY_HAND).max(3.0 * rest.step).min(FURTHEST);
    let at = off.windows(3).position(|row| row.iter().all(|&off| off > far))?;
    let furthest = off[at..].iter().copied().take_while(|&off| off > far).fold(0.0, f64::max);
    Some(Moved { at_s: crate::count::seconds(recording.time_us[at] - recording.time_us[0]), points: furthest })
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
        // Given the points of a deflection, then it is that deflection.
        for bits in [164, 328, 329, 1311] {
            assert_eq!(up(in_points(Deflection::from_bits(bits))), Deflection::from_bits(bits));
        }
    }
}
