//! What is said to `tune` besides its recordings and the policy.

/// How the readings are taken, and how seldom noise may take the craft.
#[derive(Clone, Debug)]
pub(crate) struct Options {
    /// Hours of flying from one false takeover to the next.
    pub(crate) hours_apart: f64,
    /// Counts from a stick's centre to its end, where columns are counts of a converter.
    pub(crate) full_travel: Option<f64>,
    /// The quantisation step in points, where it is not to be found from the readings.
    pub(crate) step: Option<f64>,
    /// Quantisation steps from its rest within which a reading never takes the craft.
    pub(crate) clear_steps: u8,
    /// How far a disturbed frame may be off, in microseconds.
    pub(crate) jitter: Option<f64>,
    pub(crate) centre: Vec<Centre>,
}

/// Where a channel of the box has its centre.
#[derive(Clone, Debug)]
pub(crate) struct Centre {
    pub(crate) axis: String,
    pub(crate) us: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self { hours_apart: 100.0, full_travel: None, step: None, clear_steps: 2, jitter: None, centre: Vec::new() }
    }
}
