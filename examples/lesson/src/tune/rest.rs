//! What one axis was like while nobody touched it, in points.
//!
//! The same measures as the device takes (`handback::calibrate`), in double precision and from all readings at once: the
//! first 64 are not counted, and only whole blocks of 64 are.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::blocks::Blocks;

/// Frames of a block, and of a long one, over which drift is told from noise.
const BLOCK: usize = 64;
const LONG: usize = 8 * BLOCK;

/// One axis at rest; distances are in points.
#[derive(Clone, Debug)]
pub(crate) struct AxisRest {
    /// Frames counted.
    pub(crate) frames: usize,
    /// Effective number of independent frames.
    pub(crate) independent: f64,
    /// The deviation of means over the longest blocks, where noise is slower than the recording can show.
    pub(crate) wander: Option<f64>,
    /// Where it rests.
    pub(crate) mean: f64,
    /// The standard deviation of its noise; without the slow part where that wanders.
    pub(crate) deviation: f64,
    /// The furthest that the mean of 512 frames was from the mean.
    pub(crate) drift: f64,
    /// The correlation of frames one, two and three apart.
    pub(crate) correlation: [f64; 3],
    /// Skewness and excess kurtosis; both 0 for normal noise.
    pub(crate) shape: [f64; 2],
    /// The largest distance from the mean that one frame had, that two in a row had, and that three had.
    pub(crate) rows: [f64; 3],
    /// The distances of all frames from the mean.
    pub(crate) distances: Vec<f64>,
    /// The least and the greatest reading.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// The smallest difference between two readings; 0 where there is only one.
    pub(crate) step: f64,
}

impl AxisRest {
    /// Of readings in points, one a frame; of three blocks at least, the first of which is not counted.
    pub(crate) fn measure(points: &[f64]) -> Option<Self> {
        let counted = points.len().checked_sub(BLOCK)? / BLOCK * BLOCK;
        if counted < 2 * BLOCK {
            return None;
        }
        // Measured from the first reading, what never changes is nothing, and not the rounding of sums.
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

    /// Whether there are two means to compare.
    pub(crate) fn shows_drift(&self) -> bool {
        self.frames >= 2 * LONG
    }

    /// By which factors the true deviation may be less and more than the measured one, each with 95 % confidence: the
    /// squares of normal noise add up to a chi-square with as many degrees of freedom as there are independent ones.
    pub(crate) fn band(&self) -> [f64; 2] {
        let freedom = (self.independent_squares() - 1.0).max(1.0);
        let Ok(squares) = ChiSquared::new(freedom) else { return [0.0, f64::INFINITY] };
        [0.95, 0.05].map(|share| (freedom / squares.inverse_cdf(share)).sqrt())
    }

    /// How many times more often than normal noise it may be beyond so many deviations for `confirm` frames, with 95 %
    /// confidence: exp(k z^4 / 24) for each frame, where k is the excess kurtosis at its upper bound. That is the leading
    /// term of a tail with small kurtosis (an Edgeworth series, as an exponential; own choice).
    pub(crate) fn tails(&self, deviations: f64, confirm: u8) -> f64 {
        const UPPER: f64 = 1.645; // 95 % of a normal distribution
        let [_, kurtosis] = self.shape;
        let kurtosis = kurtosis + UPPER * (24.0 / self.independent_squares()).sqrt();
        (kurtosis.max(0.0) * deviations.max(0.0).powi(4) / 24.0 * f64::from(confirm)).exp()
    }

    /// As the correlation of frames repeats them, its square repeats their squares; no more than their means are worth,
    /// which see correlation over more than three frames.
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

/// The variance without what moves over many blocks: within blocks, and of the difference of neighbouring ones.
fn fast(off: &[f64], means: &[f64]) -> f64 {
    let within = off
        .chunks_exact(BLOCK)
        .zip(means)
        .map(|(block, middle)| block.iter().map(|at| (at - middle).powi(2)).sum::<f64>() / as_f64(BLOCK));
    let between: f64 = means.windows(2).map(|pair| 0.5 * (pair[1] - pair[0]).powi(2)).sum();
    within.sum::<f64>() / as_f64(means.len()) + between / as_f64(means.len() - 1)
}

/// The correlation of frames so far apart, without the variance of what is slow.
fn correlation(off: &[f64], apart: usize, variance: f64, slow: f64) -> f64 {
    if variance <= slow {
        return 0.0; // nothing moved
    }
    let together = off.iter().zip(&off[apart..]).map(|(one, other)| one * other).sum::<f64>();
    ((together / as_f64(off.len()) - slow) / (variance - slow)).clamp(-1.0, 1.0)
}

/// The standardised moment, less that of normal noise.
fn moment(off: &[f64], power: i32, variance: f64) -> f64 {
    if variance <= 0.0 {
        return 0.0;
    }
    let moment = off.iter().map(|at| at.powi(power)).sum::<f64>() / as_f64(off.len());
    moment / variance.sqrt().powi(power) - if power == 4 { 3.0 } else { 0.0 }
}

/// The largest distance that so many frames in a row had or exceeded, whichever the side (T1).
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

    /// Given one outlier at any place, or a reading that never changes, when the rest is measured, then frames are not
    /// correlated.
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
