//! The quantisation step of a stick's readings: the smallest non-zero difference between one reading and the next.

/// Measures the quantisation step, with one difference and two comparisons for each reading.
#[derive(Clone, Copy, Debug)]
pub(super) struct StepSize {
    before: Option<u16>,
    /// 0 until two readings in a row differed.
    pub(super) least: u16,
}

impl StepSize {
    pub(super) const NEW: Self = Self { before: None, least: 0 };

    pub(super) fn take(&mut self, reading: u16) {
        let step = self.before.map_or(0, |before| before.abs_diff(reading));
        if step > 0 && (self.least == 0 || step < self.least) {
            self.least = step;
        }
        self.before = Some(reading);
    }
}
