//! The recording: a trace with the check value of every step, as a box writes it.

use std::path::Path;

use handback::Outcome;
use outcome_digest::{Crc32, OutcomeBytes};

use crate::error::Fault;
use crate::row::Row;
use crate::trace::TraceWriter;

/// A recording that can be replayed. It takes about 80 bytes a step with 4 axes, 14 MB an hour.
pub(super) struct Recording {
    trace: TraceWriter<Vec<u8>>,
    check: Crc32,
    steps: u64,
}

/// A recording as files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saved {
    /// The trace, a table with a check value in every row.
    pub trace: String,
    /// The policy that it was flown with.
    pub policy: String,
    /// How many steps it has.
    pub steps: u64,
    /// The check value of every outcome, the last one's too.
    pub check: u32,
}

impl Recording {
    /// Begins, for axes of these names.
    pub(super) fn new(names: &[String]) -> Result<Self, Fault> {
        Ok(Self { trace: TraceWriter::with_checks(Vec::new(), names)?, check: Crc32::new(), steps: 0 })
    }

    /// Adds a step.
    pub(super) fn step<const N: usize>(&mut self, row: &Row<N>, outcome: &Outcome<N>) -> Result<(), Fault> {
        OutcomeBytes::of(outcome).digest(&mut self.check);
        self.steps += 1;
        self.trace.write_checked(row, self.check.value())
    }

    /// The recording so far, which was flown with this policy.
    pub(super) fn save(&self, policy: String) -> Result<Saved, Fault> {
        if self.steps == 0 {
            return Err(Fault::new(Path::new("the recording"), "has no step yet", "fly a frame first"));
        }
        let trace = String::from_utf8_lossy(self.trace.output()).into_owned();
        Ok(Saved { trace, policy, steps: self.steps, check: self.check.value() })
    }
}
