//! A distribution of whole numbers in fixed memory: exact count, minimum and maximum, and the median up to a limit.

/// Counts of the values from 0 to a limit; values past the limit are counted together.
#[derive(Clone, Debug)]
pub(crate) struct Distribution {
    counts: Vec<u64>,
    count: u64,
    min: u64,
    max: u64,
}

impl Distribution {
    /// An empty distribution that distinguishes values up to `limit`.
    pub(crate) fn up_to(limit: usize) -> Self {
        Self { counts: vec![0; limit + 2], count: 0, min: u64::MAX, max: 0 }
    }

    /// Counts one value.
    pub(crate) fn add(&mut self, value: u64) {
        let last = self.counts.len() - 1;
        let place = usize::try_from(value).unwrap_or(last).min(last);
        self.counts[place] += 1;
        self.count += 1;
        self.min = self.min.min(value);
        self.max = self.max.max(value);
    }

    /// Number of values.
    pub(crate) fn count(&self) -> u64 {
        self.count
    }

    #[cfg(test)]
    pub(super) fn capacity(&self) -> usize {
        self.counts.capacity()
    }

    /// The smallest value.
    pub(crate) fn min(&self) -> Option<u64> {
        (self.count > 0).then_some(self.min)
    }

    /// The largest value.
    pub(crate) fn max(&self) -> Option<u64> {
        (self.count > 0).then_some(self.max)
    }

    /// The median, the lower of the two middle values where the count is even. It is the limit plus 1 where it is
    /// beyond the limit.
    pub(crate) fn median(&self) -> Option<u64> {
        let middle = self.count.checked_sub(1)? / 2;
        let mut below = 0;
        let place = self.counts.iter().position(|&here| {
            below += here;
            below > middle
        })?;
        Some(place as u64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_counted_has_no_median() {
        let empty = Distribution::up_to(9);
        assert_eq!((empty.min(), empty.median(), empty.max()), (None, None, None));
    }

    #[test]
    fn the_median_of_an_even_count_is_the_lower_of_the_two() {
        let mut of = Distribution::up_to(9);
        for value in [7, 0, 3, 5] {
            of.add(value);
        }
        assert_eq!((of.min(), of.median(), of.max(), of.count()), (Some(0), Some(3), Some(7), 4));
    }

    #[test]
    fn a_value_past_the_limit_keeps_the_greatest_exact() {
        let mut of = Distribution::up_to(9);
        of.add(u64::MAX);
        assert_eq!((of.median(), of.max()), (Some(10), Some(u64::MAX)));
    }
}
