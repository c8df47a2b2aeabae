//! What all tables that are read have in common: lines of commas, a header of titles, and what is said of slips in them.
//!
//! Comma-separated text, UTF-8, without quotes, the decimal sign a point; one header line, lines ended by LF or CR LF.
//! After the header a line is skipped if, and only if, all its cells are empty: a spreadsheet leaves rows of bare commas
//! where others were deleted.

mod lines;
mod titles;

use std::path::Path;

pub(crate) use lines::{Lines, NoLine};
pub(crate) use titles::Titles;

use crate::error::Fault;
use crate::report::counted;

/// Whether every cell is empty. No row of a table here is one, since it has a time.
pub(crate) fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|&byte| byte == b',' || byte.is_ascii_whitespace())
}

/// What is wrong with a cell whose value is none, where that shows how the table was written.
pub(crate) fn mend_of(cell: &[u8]) -> Option<&'static str> {
    match cell {
        cell if cell.contains(&b'"') => Some("quotes are not understood: write the bare value"),
        cell if cell.contains(&b';') || cell.contains(&b'\t') => {
            Some("separate the cells with commas, and write the decimal sign as a point")
        }
        _ => None,
    }
}

/// The line has other cells than the header.
pub(crate) fn miscounted(file: &Path, line: &[u8], number: u64, columns: usize) -> Fault {
    let cells = line.split(|&byte| byte == b',').count();
    let found = format!("the line has {}, the header {columns}", counted(cells as u64, "cell"));
    Fault::new(file, found, "give every column a cell, and no more; the decimal sign is a point").at(number)
}
