//! The report of a lesson: plain text, at most 100 columns.

mod sections;

use std::io::{self, Write};

use crate::tally::Tally;

/// The greatest width of a line, in characters.
pub(crate) const COLUMNS: usize = 100;
/// The width of the labels, in characters.
const LABEL: usize = 30;

/// Prints the report of a lesson under its own policy, `shipped`. Some figures have a second column for the same lesson
/// under a plain threshold, without hysteresis and dwell.
pub(crate) fn print<const N: usize>(out: &mut impl Write, shipped: &Tally<N>, plain: &Tally<N>) -> io::Result<()> {
    let mut page = Page { out };
    sections::timeline(&mut page, shipped)?;
    sections::time(&mut page, shipped)?;
    sections::rests(&mut page, shipped)?;
    sections::takeovers(&mut page, shipped)?;
    sections::steadiness(&mut page, shipped, plain)?;
    sections::latency(&mut page, shipped)?;
    sections::pickups(&mut page, shipped)?;
    sections::height(&mut page, shipped)?;
    sections::signals(&mut page, shipped)?;
    sections::agreement(&mut page, shipped)
}

/// The output of the report. It aligns lines and limits their width.
pub(crate) struct Page<'a, W> {
    pub(crate) out: &'a mut W,
}

impl<W: Write> Page<'_, W> {
    /// Prints a heading after an empty line.
    pub(crate) fn heading(&mut self, words: &str) -> io::Result<()> {
        self.line("")?;
        self.line(words)
    }

    /// Prints a label and its value.
    pub(crate) fn row(&mut self, label: &str, value: &str) -> io::Result<()> {
        self.line(&format!("  {label:LABEL$}{value}"))
    }

    /// Prints a label and several values, each in its own column.
    fn columns(&mut self, label: &str, values: &[String]) -> io::Result<()> {
        let values: Vec<String> = values.iter().map(|value| format!("{value:>18}")).collect();
        self.line(&format!("  {label:LABEL$}{}", values.concat()))
    }

    /// Prints a line, cut where it would be too wide.
    pub(crate) fn line(&mut self, words: &str) -> io::Result<()> {
        if words.chars().count() <= COLUMNS {
            writeln!(self.out, "{}", words.trim_end())
        } else {
            let kept: String = words.chars().take(COLUMNS - 3).collect();
            writeln!(self.out, "{kept}...")
        }
    }
}

#[cfg(test)]
mod tests;
