//! The lines of a trace that are no rows: what a box says between them, each after a `#`.

use crate::error::Fault;
use crate::table::Rows;

/// What a box said about a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Said {
    /// The line of the row, counted from 1.
    pub(crate) line: u64,
    /// A recording begins with this row: the box began with a new engine.
    pub(crate) begins: bool,
    /// The box had no room for this many rows before this one.
    pub(crate) missing: u64,
    /// The check value of every outcome since the recording began, this row's too.
    pub(crate) check: Option<u32>,
}

/// What was said since the last row.
#[derive(Debug, Default)]
pub(super) struct Notes {
    pub(super) begins: bool,
    pub(super) missing: u64,
}

impl Notes {
    /// Takes in a line that begins with `#`.
    pub(super) fn take(&mut self, rows: &Rows, line: &[u8]) -> Result<(), Fault> {
        let text = std::str::from_utf8(line).unwrap_or_default().trim_end();
        if text == "# recording" {
            self.begins = true;
        } else if let Some(missing) = text.strip_prefix("# missing ") {
            let number = missing.strip_suffix(" rows").and_then(|number| number.parse::<u64>().ok());
            let Some(number) = number else {
                return Err(rows.fault("does not say how many rows are missing", "write # missing 12 rows"));
            };
            self.missing = self.missing.saturating_add(number);
        }
        Ok(())
    }
}
