//! The rate of false takeovers: the share of frames in which an untouched stick becomes held (T1).
//!
//! That is the probability that `confirm` frames in a row are beyond the threshold, on either side, and the next frame
//! is not: every row that is long enough ends once. The noise is normal and has the measured correlation from frame to
//! frame; frames are not assumed to be independent. The probability of up to four normal frames is an integral. It is
//! computed frame by frame, each conditional on those before it (A. Genz, Numerical computation of multivariate normal
//! probabilities, Journal of Computational and Graphical Statistics 1, 1992), at the points of a lattice, so that every
//! run gives the same result.

use statrs::function::erf::erfc_inv;

/// Normal noise of one axis, in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Noise {
    /// The standard deviation.
    pub(crate) deviation: f64,
    /// The correlation of frames that are one, two and three frames apart.
    pub(crate) correlation: [f64; 3],
}

impl Noise {
    /// Takeovers per frame with this threshold and a `confirm` of 1 to 3, of a stick at `offset` from its rest.
    pub(crate) fn per_frame(&self, engage: f64, offset: f64, confirm: u8) -> f64 {
        self.rows(engage, offset, confirm, true)
    }

    /// The share of frames that are the last of `confirm` frames in a row beyond the threshold, whatever follows.
    #[cfg(test)]
    pub(crate) fn beyond(&self, engage: f64, offset: f64, confirm: u8) -> f64 {
        self.rows(engage, offset, confirm, false)
    }

    fn rows(&self, engage: f64, offset: f64, confirm: u8, ended: bool) -> f64 {
        if self.deviation <= 0.0 {
            return 0.0; // a constant reading never takes the craft, whatever the offset
        }
        let threshold =
            Threshold { low: (-engage - offset) / self.deviation, high: (engage - offset) / self.deviation };
        let confirm = usize::from(confirm.clamp(1, 3));
        let frames = Frames::alike(self.correlation, confirm + 1);
        let sum: f64 = (0..LATTICE).map(|n| frames.row(&threshold, confirm, ended, point(n))).sum();
        sum / f64::from(LATTICE)
    }
}

/// Number of lattice points. The rates are then within about 1 % (`tests/band_limited.rs`).
const LATTICE: u32 = 2048;

/// A lattice point in the unit cube. The steps are powers of the inverse of the root of x^4 = x + 1, which spread
/// evenly in three dimensions. Each coordinate is folded, so that both its ends meet.
fn point(n: u32) -> [f64; 3] {
    const STEPS: [f64; 3] = [0.819_172_513_396_164_4, 0.671_043_606_703_789_2, 0.549_700_477_901_970_3];
    STEPS.map(|step| {
        let way = (0.5 + f64::from(n + 1) * step).fract();
        1.0 - (2.0 * way - 1.0).abs()
    })
}

/// A frame is beyond the threshold where it is below `low` or above `high`, in standard deviations.
struct Threshold {
    low: f64,
    high: f64,
}

/// The Cholesky factor of the correlation matrix of up to four consecutive frames. It writes each frame as a sum of
/// independent normal numbers.
struct Frames([[f64; 4]; 4]);

impl Frames {
    /// Measured correlations may be those of no real noise. They are reduced step by step until a factor exists.
    fn alike(correlation: [f64; 3], frames: usize) -> Self {
        let mut alike = 1.0;
        (0..=50)
            .find_map(|less| {
                alike -= f64::from(less) * f64::from(less).exp2() * 1e-15;
                Self::of(correlation.map(|c| c * alike.max(0.0)), frames)
            })
            .unwrap_or(Self([[1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]]))
    }

    fn of([one, two, three]: [f64; 3], frames: usize) -> Option<Self> {
        const LEAST: f64 = 1e-12; // a smaller remaining variance is a rounding error
        let apart = [1.0, one, two, three];
        let mut factor = [[0.0_f64; 4]; 4];
        for row in 0..frames {
            for column in 0..=row {
                let known: f64 = (0..column).map(|n| factor[row][n] * factor[column][n]).sum();
                let left = apart[row - column] - known;
                factor[row][column] = if row > column {
                    left / factor[column][column]
                } else if left < LEAST {
                    return None;
                } else {
                    left.sqrt()
                };
            }
        }
        Some(Self(factor))
    }

    /// The probability of a row, at one lattice point.
    fn row(&self, threshold: &Threshold, confirm: usize, ended: bool, point: [f64; 3]) -> f64 {
        let Self(factor) = self;
        let (mut new, mut probability) = ([0.0; 4], 1.0);
        for frame in 0..=confirm {
            let expected: f64 = (0..frame).map(|n| factor[frame][n] * new[n]).sum();
            let [low, high] = [threshold.low, threshold.high].map(|at| (at - expected) / factor[frame][frame]);
            let (below, above) = (tail(-low), tail(high));
            if frame == confirm {
                return if ended { probability * within(low, high) } else { probability };
            }
            probability *= below + above;
            // The value in the two tails at this quantile of their common probability.
            let at = point[frame] * (below + above);
            new[frame] = if at < above { tail_inverse(at) } else { -tail_inverse(at - above) };
        }
        probability
    }
}

/// The normal tail: the probability of more than `x` standard deviations.
pub(crate) fn tail(x: f64) -> f64 {
    0.5 * libm::erfc(x / std::f64::consts::SQRT_2)
}

/// The inverse of `tail`, in standard deviations; at most 37, where the probability cannot be told from 0.
pub(crate) fn tail_inverse(probability: f64) -> f64 {
    std::f64::consts::SQRT_2 * erfc_inv((2.0 * probability).max(1e-300))
}

/// The probability between two places. It is the difference of the two smaller tails, which has the smaller rounding
/// error.
fn within(low: f64, high: f64) -> f64 {
    let between = if low > 0.0 { tail(low) - tail(high) } else { tail(-high) - tail(-low) };
    between.max(0.0)
}
