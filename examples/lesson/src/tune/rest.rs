//! The properties of one untouched axis, in points.
//!
//! They are those that the device measures (`handback::calibrate`), but in double precision and from all readings at
//! once. The first 64 readings do not count, nor does a last block of fewer than 64.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::blocks::Blocks;

/// Frames of a block, and of a long block, whose means show drift.
const BLOCK: usize = 64;
const LONG: usize = 8 * BLOCK;

/// One axis at rest; distances are in points.
#[derive(Clone, Debug)]
pub(crate) struct AxisRest {
    /// Number of counted frames.
    pub(crate) frames: usize,
    /// Effective number of independent frames.
    pub(crate) independent: f64,
    /// Where noise is slower than the recording shows: the unexplained deviation of the means of the longest blocks.
    pub(crate) wander: Option<f64>,
    /// The mean of the readings.
    pub(crate) mean: f64,
    /// The standard deviation of its noise; where it wanders, without the slow part.
    pub(crate) deviation: f64,
    /// The largest distance of a mean of 512 frames from the mean of all.
    pub(crate) drift: f64,
    /// The correlation of frames that are one, two and three frames apart.
    pub(crate) correlation: [f64; 3],
    /// Skewness and excess kurtosis; both 0 for normal noise.
    pub(crate) shape: [f64; 2],
    /// The largest distance from the mean that a row of one frame reached, a row of two, and a row of three. The
    /// distance of a row is that of its nearest frame.
    pub(crate) rows: [f64; 3],
    /// The distances of all frames from the mean.
    pub(crate) distances: Vec<f64>,
    /// The smallest and the largest reading.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// The smallest difference between two readings; 0 where they never changed.
    pub(crate) step: f64,
}

impl AxisRest {
    /// Measures readings in points, one per frame. `None` for fewer than three blocks, the first of which does not
    /// count.
    pub(crate) fn measure(points: &[f64]) -> Option<Self> {
        let counted = points.len().checked_sub(BLOCK)? / BLOCK * BLOCK;
        if counted < 2 * BLOCK {
            return None;
        }
        // Relative to the first reading, constant readings are exactly 0, without rounding errors of sums.
        let origin = points[0];
        let rest: Vec<f64> = points[BLOCK..BLOCK + counted].iter().map(|at| at - origin).collect();
        let all = mean(&rest);
        let off: Vec<f64> = rest.iter().map(|at| at - all).collect();
        let means: Vec<f64> = off.chunks_exact(BLOCK).map(mean).collect();
        let variance = off.iter().map(|at| at * at).sum::<f64>() / (as_f64(counted) - 1.0);
        let blocks = Blocks::of(&means, variance);
        let slow = if blocks.wander.is_some() { (variance - fast(&off, &means)).max(0.0) } else { 0.0 };
        Some(Self {
            frames: counted,
            independent: as_f64(counted) / blocks.repeats,
            wander: blocks.wander,
            mean: origin + all,
            deviation: (variance - slow).sqrt(),
            drift: off.chunks_exact(LONG).map(|long| mean(long).abs()).fold(0.0, f64::max),
            correlation: [1, 2, 3].map(|apart| correlation(&off, apart, variance, slow)),
            shape: [3, 4].map(|power| moment(&off, power, variance)),
            rows: [1, 2, 3].map(|count| row(&off, count)),
            distances: off.iter().map(|at| at.abs()).collect(),
            low: origin + rest.iter().copied().fold(f64::MAX, f64::min),
            high: origin + rest.iter().copied().fold(f64::MIN, f64::max),
            step: smallest_step(&rest).unwrap_or(0.0),
        })
    }

    /// Whether there are two long blocks to compare.
    pub(crate) fn shows_drift(&self) -> bool {
        self.frames >= 2 * LONG
    }

    /// The lower and the upper 95 % confidence bound of the true deviation, as factors of the measured one. The sum of
    /// squares of normal noise has a chi-square distribution, whose degrees of freedom follow from the effective number
    /// of independent squares.
    pub(crate) fn band(&self) -> [f64; 2] {
        let freedom = (self.independent_squares() - 1.0).max(1.0);
        let Ok(squares) = ChiSquared::new(freedom) else { return [0.0, f64::INFINITY] };
        [0.95, 0.05].map(|share| (freedom / squares.inverse_cdf(share)).sqrt())
    }

    /// The largest factor, with 95 % confidence, by which the noise exceeds `deviations` in `confirm` frames in a row
    /// more often than normal noise. It is exp(k z^4 / 24) for each frame, where z is `deviations` and k is the upper
    /// bound of the excess kurtosis. That is the leading term of a tail with small kurtosis (an Edgeworth series,
    /// written as an exponential; own choice).
    pub(crate) fn tails(&self, deviations: f64, confirm: u8) -> f64 {
        const UPPER: f64 = 1.645; // 95 % of a normal distribution
        let [_, kurtosis] = self.shape;
        let kurtosis = kurtosis + UPPER * (24.0 / self.independent_squares()).sqrt();
        (kurtosis.max(0.0) * deviations.max(0.0).powi(4) / 24.0 * f64::from(confirm)).exp()
    }

    /// Effective number of independent squares. For normal noise the correlation of squares is the square of the
    /// correlation of frames. The number is limited to that of independent frames, since the block means include
    /// correlation over more than three frames.
    pub(crate) fn independent_squares(&self) -> f64 {
        let again: f64 = self.correlation.iter().map(|c| 2.0 * c * c).sum();
        self.independent.min(as_f64(self.frames) / (1.0 + again))
    }
}

/// The smallest difference between two readings.
pub(super) fn smallest_step(points: &[f64]) -> Option<f64> {
    let mut sorted = points.to_vec();
    sorted.sort_by(f64::total_cmp);
    let differences = sorted.windows(2).map(|pair| pair[1] - pair[0]);
    differences.filter(|&difference| difference > 1e-9).min_by(f64::total_cmp)
}

fn mean(points: &[f64]) -> f64 {
    points.iter().sum::<f64>() / as_f64(points.len())
}

/// The variance without motion over many blocks: the variance within blocks, plus half the mean square difference of
/// neighbouring block means.
fn fast(off: &[f64], means: &[f64]) -> f64 {
    let within = off
        .chunks_exact(BLOCK)
        .zip(means)
        .map(|(block, middle)| block.iter().map(|at| (at - middle).powi(2)).sum::<f64>() / as_f64(BLOCK));
    let between: f64 = means.windows(2).map(|pair| 0.5 * (pair[1] - pair[0]).powi(2)).sum();
    within.sum::<f64>() / as_f64(means.len()) + between / as_f64(means.len() - 1)
}

/// The correlation of frames `apart` frames apart, without the slow part of the variance.
fn correlation(off: &[f64], apart: usize, variance: f64, slow: f64) -> f64 {
    if variance <= slow {
        return 0.0; // nothing moved
    }
    let together = off.iter().zip(&off[apart..]).map(|(one, other)| one * other).sum::<f64>();
    ((together / as_f64(off.len()) - slow) / (variance - slow)).clamp(-1.0, 1.0)
}

/// The standardised moment minus that of normal noise.
fn moment(off: &[f64], power: i32, variance: f64) -> f64 {
    if variance <= 0.0 {
        return 0.0;
    }
    let moment = off.iter().map(|at| at.powi(power)).sum::<f64>() / as_f64(off.len());
    moment / variance.sqrt().powi(power) - if power == 4 { 3.0 } else { 0.0 }
}

/// The largest distance that `count` frames in a row all reached, on either side (T1).
fn row(off: &[f64], count: usize) -> f64 {
    let least = |row: &[f64]| row.iter().map(|at| at.abs()).fold(f64::MAX, f64::min);
    off.windows(count).map(least).fold(0.0, f64::max)
}

/// A count of frames.
#[allow(clippy::cast_precision_loss)] // below 2^53
fn as_f64(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given one outlier at any place, or a constant reading, then frames are not correlated.
    #[test]
    fn an_outlier_makes_no_correlation() {
        for place in [0, 63, 64, 100, 255, 319] {
            let mut points = vec![1.0; 320];
            points[place] = 5.0;
            let rest = AxisRest::measure(&points).unwrap();
            assert!(rest.correlation.iter().all(|c| c.abs() < 0.01), "{place}: {:?}", rest.correlation);
        }
        let still = AxisRest::measure(&[0.1; 320]).unwrap();
        assert_eq!((still.correlation, still.shape, still.deviation.to_bits()), ([0.0; 3], [0.0; 2], 0));
    }
}
