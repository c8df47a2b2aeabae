//! The results of the flights: digests, coverage, and on request every step as a line.

use core::fmt::Write;

use handback::{Deflection, Inputs, Outcome, Policy};
use outcome_digest::{Crc32, OutcomeBytes};

use crate::coverage::Coverage;
use crate::row::write_line;

/// One step, as it was flown.
pub(crate) struct Step<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    /// Time since the step before, in microseconds.
    pub(crate) dt: u32,
    /// Whether the clock wrapped.
    pub(crate) wraps: bool,
    pub(crate) inputs: Inputs<'a, N>,
    pub(crate) outcome: Outcome<N>,
    /// Whether the outcome of the reference differs.
    pub(crate) differs: bool,
}

/// A fault that the check must find: in this step of this flight, the lowest bit of the first axis is inverted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flip {
    /// The flight, from 0.
    pub flight: u32,
    /// The step in it, from 0.
    pub step: u32,
}

/// The results of the flights so far.
#[derive(Default)]
pub struct Log<'w> {
    /// What was reached.
    pub coverage: Coverage,
    /// The number of steps.
    pub steps: u32,
    /// The number of steps in which the outcome of the reference differs.
    pub differing: u32,
    /// The digest of all flights that ended: the CRC-32 of the CRC-32 of each, least significant byte first.
    total: Crc32,
    flight: Crc32,
    number: u32,
    /// Steps of this flight.
    flown: u32,
    compares: bool,
    flip: Option<Flip>,
    rows: Option<&'w mut dyn Write>,
}

impl<'w> Log<'w> {
    /// A log without flights.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same, with one fault to be found.
    #[must_use]
    pub fn with_flip(self, flip: Option<Flip>) -> Self {
        Self { flip, ..self }
    }

    /// The same, comparing with the reference; needs the feature `reference`.
    #[must_use]
    pub fn comparing(self) -> Self {
        Self { compares: cfg!(feature = "reference"), ..self }
    }

    /// The same, writing every step as a line.
    #[must_use]
    pub fn with_rows(self, rows: &'w mut dyn Write) -> Self {
        Self { rows: Some(rows), ..self }
    }

    /// The digest of all flights that ended.
    pub fn digest(&self) -> u32 {
        self.total.value()
    }

    /// The digest of the last flight.
    pub fn flight_digest(&self) -> u32 {
        self.flight.value()
    }

    pub(crate) fn compares(&self) -> bool {
        self.compares
    }

    pub(crate) fn begin(&mut self, number: u32) {
        self.flight = Crc32::new();
        self.number = number;
        self.flown = 0;
    }

    pub(crate) fn end(&mut self) {
        self.total.add(&self.flight.value().to_le_bytes());
    }

    /// Adds bytes that belong to no step.
    pub(crate) fn add(&mut self, bytes: &[u8]) {
        self.flight.add(bytes);
    }

    pub(crate) fn step<const N: usize>(&mut self, step: &Step<'_, N>) {
        let mut outcome = step.outcome;
        if self.flip == Some(Flip { flight: self.number, step: self.flown })
            && let [first, ..] = outcome.output.axes_mut().as_mut_slice()
        {
            *first = Deflection::from_bits(first.to_bits() ^ 1);
        }
        OutcomeBytes::of(&outcome).digest(&mut self.flight);
        self.coverage.step(step);
        self.differing += u32::from(step.differs);
        if let Some(rows) = &mut self.rows {
            // A runner that cannot write cannot report this either; the missing lines are noticed where they are read.
            let _ = write_line(*rows, self.flown, &step.inputs, &outcome);
        }
        self.steps += 1;
        self.flown += 1;
    }
}
