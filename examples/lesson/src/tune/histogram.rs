//! The histogram of the distances from the rest.

/// Counts of readings by their distance from the rest, in points.
#[derive(Clone, Debug)]
pub(crate) struct Histogram {
    /// The width of a bin, in points; bins are centred on its multiples.
    pub(crate) width: f64,
    /// The multiple that the first bin is centred on.
    pub(crate) first: i32,
    pub(crate) counts: Vec<u32>,
}

/// Bins of about a third of a deviation, each of an equal number of quantisation steps.
const BINS_PER_DEVIATION: f64 = 3.0;
/// The most bins, for a stick that was moved.
const MOST_BINS: f64 = 240.0;

impl Histogram {
    /// Sorts readings by their distance from `mean`. `step` is the smallest difference between two readings, 0 where
    /// they never changed.
    pub(super) fn of(points: &[f64], mean: f64, deviation: f64, step: f64) -> Self {
        let least = points.iter().copied().fold(f64::MAX, f64::min) - mean;
        let most = points.iter().copied().fold(f64::MIN, f64::max) - mean;
        let width = (deviation / BINS_PER_DEVIATION).max((most - least) / MOST_BINS);
        let width = match step {
            step if step > 0.0 => (width / step).round().max(1.0) * step,
            _ => width.max(0.01),
        };
        #[allow(clippy::cast_possible_truncation)] // a few hundred bins
        let bin = |off: f64| (off / width).round() as i32;
        let first = bin(least);
        let mut counts = vec![0; usize::try_from(bin(most) - first).unwrap_or(0) + 1];
        for at in points {
            let place = usize::try_from(bin(at - mean) - first).unwrap_or(0);
            counts[place] += 1;
        }
        Self { width, first, counts }
    }

    /// The centre of each bin and its number of readings.
    pub(crate) fn bins(&self) -> impl Iterator<Item = (f64, u32)> {
        (self.first..).map(|bin| f64::from(bin) * self.width).zip(self.counts.iter().copied())
    }
}
