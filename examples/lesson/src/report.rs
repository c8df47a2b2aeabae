//! The report: what a lesson came to, for people to read. Plain text, at most 100 columns.

mod sections;

use std::io::{self, Write};

use crate::tally::Tally;

/// The widest a line gets.
pub(crate) const COLUMNS: usize = 100;
/// Where the values begin.
const LABEL: usize = 30;

/// Prints the report of a lesson flown under its own policy, beside what the same lesson gives with the plain
/// threshold: no hysteresis and no dwell.
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

/// Where the lines go; keeps them aligned and within the columns.
pub(crate) struct Page<'a, W> {
    pub(crate) out: &'a mut W,
}

impl<W: Write> Page<'_, W> {
    /// A heading, after an empty line.
    pub(crate) fn heading(&mut self, words: &str) -> io::Result<()> {
        self.line("")?;
        self.line(words)
    }

    /// A label and its value.
    pub(crate) fn row(&mut self, label: &str, value: &str) -> io::Result<()> {
        self.line(&format!("  {label:LABEL$}{value}"))
    }

    /// A label and several values, each in its own column.
    fn columns(&mut self, label: &str, values: &[String]) -> io::Result<()> {
        let values: Vec<String> = values.iter().map(|value| format!("{value:>18}")).collect();
        self.line(&format!("  {label:LABEL$}{}", values.concat()))
    }

    /// A line, cut where it would be too wide.
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
