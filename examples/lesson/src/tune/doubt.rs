//! Reasons to claim no rate and to recommend thresholds by a margin instead.
//!
//! A rate of one takeover in many hours is extrapolated from minutes. The noise must be normal, its size must be known
//! at all frequencies, and its quantisation must be fine enough to show its shape. The recording can show that one of
//! these conditions is not met.

use std::fmt;

use statrs::distribution::{Beta, ContinuousCDF};

use super::advice::{ENOUGH, Stray};
use super::rest::AxisRest;
use super::words::{lasted, two_digits};
use crate::count::counted;

/// Why no rate is claimed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Doubt {
    /// The readings never changed.
    Still,
    /// The noise is smaller than the quantisation step.
    Coarse,
    /// The recording is shorter than two minutes.
    Brief,
    /// The slowest noise is slower than the recording shows. `wanted_s` is the least length of a recording that might
    /// show it.
    Wanders { wanted_s: f64 },
    /// Single readings are further out than normal noise explains.
    Jumps(Jumps),
    /// The engine took the craft in the recording more often than the target explains.
    Counted,
    /// A single frequency makes a large share of the noise.
    Hum,
    /// The distribution is not normal: skewness and excess kurtosis.
    Shape([f64; 2]),
}

/// The jumps of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Jumps {
    /// Number of jumps.
    pub(crate) seen: u32,
    /// Number of jumps that lasted two frames or more.
    pub(crate) lasted: u32,
}

/// A deviation of readings below this many quantisation steps gives neither size nor shape of the noise. It is the
/// deviation of noise of half a step plus its rounding error, 1/12 of a squared step (computed: sqrt(1/4 + 1/12)).
const COARSE: f64 = 0.577;
/// The shortest rest, in seconds, that shows how sticks wander.
pub(crate) const BRIEF_S: f64 = 110.0;
/// Limit of skewness and kurtosis, in standard errors: normal noise passes it in about one of 100 recordings (own
/// choice).
const ERRORS: f64 = 2.6;
/// A recording longer by this factor may show a wander that this recording does not.
const LONGER: f64 = 4.0;

impl Doubt {
    /// The first reason against a rate. `step` is the quantisation step in points.
    pub(super) fn of(rest: &AxisRest, stray: &Stray, step: f64, frame_s: f64, hum: bool) -> Option<Self> {
        let count = as_f64(rest.frames);
        let jumps = Jumps::of(rest, stray);
        if rest.step == 0.0 {
            Some(Self::Still)
        } else if rest.deviation < COARSE * step {
            Some(Self::Coarse)
        } else if count * frame_s < BRIEF_S {
            Some(Self::Brief)
        } else if rest.wander.is_some() {
            let wanted = (LONGER * count).max(ENOUGH * count / rest.independent);
            Some(Self::Wanders { wanted_s: wanted * frame_s })
        } else if jumps.seen > 0 {
            Some(Self::Jumps(jumps))
        } else if hum {
            Some(Self::Hum)
        } else {
            let [skewness, kurtosis] = rest.shape;
            let squares = rest.independent_squares();
            // Standard errors of normal noise: sqrt(6 / n) and sqrt(24 / n).
            let not_normal =
                skewness.abs() > ERRORS * (6.0 / squares).sqrt() || kurtosis > ERRORS * (24.0 / squares).sqrt();
            not_normal.then_some(Self::Shape(rest.shape))
        }
    }
}

impl Jumps {
    /// Counts the rows of frames further out than normal noise explains.
    fn of(rest: &AxisRest, stray: &Stray) -> Self {
        let limit = stray.explained(rest, 1);
        let mut jumps = Self { seen: 0, lasted: 0 };
        for row in rest.distances.chunk_by(|one, other| (*one > limit) == (*other > limit)) {
            if row[0] > limit {
                jumps.seen += 1;
                jumps.lasted += u32::from(row.len() > 1);
            }
        }
        jumps
    }

    /// Upper 95 % bound of the share of jumps that last a second frame: the exact binomial bound, for independent jumps
    /// (C. J. Clopper and E. S. Pearson, Biometrika 26, 1934).
    pub(crate) fn may_last(self) -> f64 {
        let [lasted, ended] = [self.lasted, self.seen - self.lasted].map(f64::from);
        Beta::new(lasted + 1.0, ended).map_or(1.0, |share| share.inverse_cdf(0.95))
    }
}

impl fmt::Display for Doubt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Still => write!(f, "its readings never changed, so the recording does not show its noise"),
            Self::Coarse => {
                write!(f, "its noise is smaller than its quantisation step, so its size and shape are not known")
            }
            Self::Brief => {
                write!(f, "the recording is shorter than two minutes and does not show how the rest wanders")
            }
            Self::Wanders { wanted_s } => write!(
                f,
                "its rest wanders more slowly than the recording shows: let it warm up; a rate needs a recording of \
                 {} or more",
                lasted(*wanted_s)
            ),
            Self::Jumps(jumps) => {
                let Jumps { seen, lasted } = *jumps;
                write!(
                    f,
                    "its readings jump: {}, of which {lasted} lasted more than a frame; with 95 % confidence, up to {} % \
                     of all jumps may last more than a frame",
                    counted(seen.into(), "jump"),
                    two_digits(100.0 * jumps.may_last())
                )
            }
            Self::Counted => {
                write!(f, "the engine took the craft in this recording more often than its noise explains")
            }
            Self::Hum => write!(f, "much of its noise is hum, which is not normal noise"),
            Self::Shape([skewness, kurtosis]) => write!(
                f,
                "its noise is not normal (skewness {skewness:+.2}, excess kurtosis {kurtosis:+.2}), so the rate of \
                 large deviations cannot be calculated"
            ),
        }
    }
}

fn as_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given n jumps of which none lasted, then the bound is that of no success in n trials, 1 - 0.05^(1/n).
    #[test]
    fn the_binomial_bound_is_exact() {
        for seen in [1, 3, 10, 100] {
            let share = Jumps { seen, lasted: 0 }.may_last();
            assert!((share - (1.0 - 0.05_f64.powf(1.0 / f64::from(seen)))).abs() < 1e-6, "{seen}: {share}");
        }
        // All of them lasted.
        assert!((Jumps { seen: 5, lasted: 5 }.may_last() - 1.0).abs() < 1e-9);
        // 3 of 10 lasted: at the bound, the probability of 3 or fewer is 1 in 20.
        let p = Jumps { seen: 10, lasted: 3 }.may_last();
        let chance: f64 = [1.0, 10.0, 45.0, 120.0]
            .into_iter()
            .zip(0..)
            .map(|(ways, n)| ways * p.powi(n) * (1.0 - p).powi(10 - n))
            .sum();
        assert!((chance - 0.05).abs() < 1e-6, "{p}: {chance}");
    }
}
