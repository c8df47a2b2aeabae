//! What one axis was like while nobody touched it, in points.
//!
//! The same measures as the device takes (`handback::calibrate`), in double precision and from all readings at once: the
//! first 64 set the reference for rows and are not counted, and only whole blocks of 64 are.

use statrs::distribution::{ChiSquared, ContinuousCDF};

/// Frames of a block, and of a long one, over which drift is told from noise.
const BLOCK: usize = 64;
const LONG: usize = 8 * BLOCK;

/// One axis at rest; distances are in points.
#[derive(Clone, Debug)]
pub(crate) struct AxisRest {
    /// Frames counted.
    pub(crate) frames: usize,
    /// Of how many that know nothing of each other their mean is worth.
    pub(crate) independent: f64,
    /// Where it rests.
    pub(crate) mean: f64,
    /// The standard deviation of its noise, without slow drift.
    pub(crate) deviation: f64,
    /// The furthest that the mean of 512 frames was from the mean.
    pub(crate) drift: f64,
    /// How alike frames are that are one, two and three apart.
    pub(crate) correlation: [f64; 3],
    /// The largest distance from the reference that one frame had, that two in a row had, and that three had.
    pub(crate) rows: [f64; 3],
    /// The distances of all frames from the reference.
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
        let points: Vec<f64> = points.iter().map(|at| at - origin).collect();
        let (first, rest) = points.split_at(BLOCK);
        let (reference, rest) = (mean(first), &rest[..counted]);
        let all = mean(rest);
        let blocks: Vec<f64> = rest.chunks_exact(BLOCK).map(mean).collect();
        let within = mean_of(rest.chunks_exact(BLOCK).zip(&blocks).map(|(block, &middle)| spread(block, middle)));
        let between = 0.5 * mean_of(blocks.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)));
        let fast = within + between;
        let repeats = between * as_f64(BLOCK);
        Some(Self {
            frames: counted,
            independent: if repeats <= fast { as_f64(counted) } else { as_f64(counted) * fast / repeats },
            mean: origin + all,
            deviation: fast.sqrt(),
            drift: rest.chunks_exact(LONG).map(|long| (mean(long) - all).abs()).fold(0.0, f64::max),
            correlation: [1, 2, 3].map(|apart| alike(&points[BLOCK - apart..BLOCK + counted], apart, fast)),
            rows: [1, 2, 3].map(|count| row(rest, reference, count)),
            distances: rest.iter().map(|at| (at - reference).abs()).collect(),
            low: origin + rest.iter().copied().fold(f64::MAX, f64::min),
            high: origin + rest.iter().copied().fold(f64::MIN, f64::max),
            step: step(rest),
        })
    }

    /// Whether there are two means to compare.
    pub(crate) fn shows_drift(&self) -> bool {
        self.frames >= 2 * LONG
    }

    /// Between which factors of the measured deviation the true one is, with 95 % confidence: the squares of normal
    /// noise add up to a chi-square with as many degrees of freedom as there are independent ones.
    pub(crate) fn band(&self) -> [f64; 2] {
        let freedom = self.independent_squares() - 1.0;
        let Ok(squares) = ChiSquared::new(freedom.max(1.0)) else { return [0.0, f64::INFINITY] };
        [0.975, 0.025].map(|share| (freedom.max(1.0) / squares.inverse_cdf(share)).sqrt())
    }

    /// As the correlation of frames repeats them, its square repeats their squares; no more than their means are worth,
    /// which sees what is alike over more than three frames.
    fn independent_squares(&self) -> f64 {
        let again: f64 = self.correlation.iter().map(|c| 2.0 * c * c).sum();
        self.independent.min(as_f64(self.frames) / (1.0 + again))
    }
}

fn mean(points: &[f64]) -> f64 {
    points.iter().sum::<f64>() / as_f64(points.len())
}

fn mean_of(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = as_f64(values.len());
    values.sum::<f64>() / count
}

/// The mean squared distance from the middle.
fn spread(points: &[f64], middle: f64) -> f64 {
    points.iter().map(|at| (at - middle).powi(2)).sum::<f64>() / as_f64(points.len())
}

/// The correlation of frames so far apart: 1, less half the mean square of their difference over the variance.
fn alike(points: &[f64], apart: usize, fast: f64) -> f64 {
    if fast <= 0.0 {
        return 0.0; // nothing moved, and nothing is alike
    }
    let differences = points.windows(apart + 1).map(|pair| (pair[apart] - pair[0]).powi(2));
    (1.0 - 0.5 * mean_of(differences) / fast).clamp(-1.0, 1.0)
}

/// The largest distance that so many frames in a row had or exceeded, whichever the side (T1).
fn row(points: &[f64], reference: f64, count: usize) -> f64 {
    let least = |row: &[f64]| row.iter().map(|at| (at - reference).abs()).fold(f64::MAX, f64::min);
    points.windows(count).map(least).fold(0.0, f64::max)
}

/// The smallest difference between two readings.
fn step(points: &[f64]) -> f64 {
    let mut sorted = points.to_vec();
    sorted.sort_by(f64::total_cmp);
    let differences = sorted.windows(2).map(|pair| pair[1] - pair[0]);
    differences.filter(|&difference| difference > 1e-9).min_by(f64::total_cmp).unwrap_or(0.0)
}

/// A count of frames.
#[allow(clippy::cast_precision_loss)] // below 2^53
fn as_f64(count: usize) -> f64 {
    count as f64
}
