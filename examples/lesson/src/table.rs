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

use crate::count::counted;
use crate::error::Fault;
use crate::number::{self, Unit};

/// What to do about lines that end in CR alone, as they did in old files. They are not read: where CR ended a line, CR CR LF
/// would be two lines, and the numbers of lines in messages would not be those that an editor shows.
pub(crate) const LINE_ENDS: &str = "lines end in CR alone: save the file with LF or CR LF at the ends of lines";

/// Whether every cell is empty. No row of a table here is one, since it has a time.
pub(crate) fn is_blank(line: &[u8]) -> bool {
    line.iter().all(|&byte| byte == b',' || byte.is_ascii_whitespace())
}

/// What is wrong with a cell whose value is none, where that shows how the table or its numbers were written.
pub(crate) fn mend_of(cell: &[u8], unit: &Unit) -> Option<String> {
    match cell {
        cell if cell.contains(&b'\r') => Some(LINE_ENDS.to_owned()),
        cell if cell.contains(&b'"') || cell.contains(&b'\'') => {
            Some("quotes are not understood: write the bare value".to_owned())
        }
        cell if cell.contains(&b';') || cell.contains(&b'\t') => {
            Some("separate the cells with commas, and write the decimal sign as a point".to_owned())
        }
        cell if cell.contains(&b'#') => Some("comments are not understood: remove it".to_owned()),
        cell => number::mend(std::str::from_utf8(cell).ok()?, unit),
    }
}

/// The line has other cells than the header.
pub(crate) fn miscounted(file: &Path, line: &[u8], number: u64, columns: usize) -> Fault {
    let cells = line.split(|&byte| byte == b',').count();
    let found = format!("the line has {}, the header {columns}", counted(cells as u64, "cell"));
    let mend = if line.contains(&b'\r') {
        LINE_ENDS
    } else {
        "give every column a cell, and no more; the decimal sign is a point"
    };
    Fault::new(file, found, mend).at(number)
}
