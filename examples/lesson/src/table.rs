//! The format that all input tables share: lines of comma-separated cells, a header of titles, and messages about
//! errors.
//!
//! A table is comma-separated text in UTF-8, without quotes, with a point as the decimal sign. It has one header line,
//! and its lines end in LF or CR LF. After the header a line is skipped if, and only if, all its cells are empty, since
//! spreadsheets leave rows of bare commas in place of deleted rows.

mod lines;
mod rows;
mod titles;

use std::path::Path;

use lines::Lines;
pub(crate) use rows::{Refused, Rows};
pub(crate) use titles::Titles;

use crate::count::counted;
use crate::error::Fault;
use crate::number::{self, Unit};

/// The remedy for lines that end in CR alone, as in old files. Such files are refused: if CR ended a line, CR CR LF
/// would be two lines, and line numbers in messages would differ from those in an editor.
pub(crate) const LINE_ENDS: &str = "lines end in CR alone: save the file with LF or CR LF at the ends of lines";

/// Whether every cell is empty. A row of data always has a time.
fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|&byte| byte == b',' || byte.is_ascii_whitespace())
}

/// The remedy for a cell without a valid value, where the cell shows what is wrong with the table or its numbers.
fn mend_of(cell: &[u8], unit: &Unit) -> Option<String> {
    match cell {
        cell if cell.contains(&b'\r') => Some(LINE_ENDS.to_owned()),
        cell if cell.contains(&b'"') || cell.contains(&b'\'') => {
            Some("quotes are not understood: write the bare value".to_owned())
        }
        cell if cell.contains(&b';') || cell.contains(&b'\t') => {
            Some("separate the cells with commas, and write the decimal sign as a point".to_owned())
        }
        cell if cell.contains(&b'#') => Some("comments are not understood: remove it".to_owned()),
        cell => number::remedy(std::str::from_utf8(cell).ok()?, unit),
    }
}

/// The error for a line with another number of cells than the header.
fn miscounted(file: &Path, line: &[u8], columns: usize) -> Fault {
    let cells = line.split(|&byte| byte == b',').count();
    let found = format!("the line has {}, the header {columns}", counted(cells as u64, "cell"));
    let remedy = if line.contains(&b'\r') {
        LINE_ENDS
    } else {
        "give every column a cell, and no more; the decimal sign is a point"
    };
    Fault::new(file, found, remedy)
}
