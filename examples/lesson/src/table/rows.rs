//! A table being read row by row: its header, then every line with a cell that is not empty.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::{LINE_ENDS, Lines, Titles, mend_of, miscounted};
use crate::error::{Fault, quoted};
use crate::file_kind::FileKind;
use crate::input::Input;
use crate::number::Unit;

/// The rows of a file.
pub(crate) struct Rows {
    path: PathBuf,
    lines: Lines<Box<dyn Read + Send>>,
    /// The kind of file, for messages: "a trace".
    kind: &'static str,
    titles: Vec<String>,
}

/// Why a row is refused.
pub(crate) enum Refused {
    /// It has more or fewer cells than the header.
    Count,
    /// One of its cells is wrong. Boxed, since it travels with every row and is rare.
    Cell(Box<WrongCell>),
}

pub(crate) struct WrongCell {
    column: usize,
    found: String,
    remedy: String,
}

impl Refused {
    /// The cell in this column is wrong; `found` follows its value. Where the value shows how the number was written,
    /// the message says how to write it in this unit instead of `remedy`.
    pub(crate) fn cell(column: usize, cell: &[u8], found: &str, remedy: &str, unit: &Unit) -> Self {
        let remedy = mend_of(cell, unit).unwrap_or(remedy.to_owned());
        Self::Cell(Box::new(WrongCell { column, found: format!("{} {found}", quoted(cell)), remedy }))
    }
}

impl Rows {
    /// Begins to read a file of this kind, whose header begins with `begins`, and reads its titles.
    pub(crate) fn read(
        input: Input,
        kind: &'static str,
        begins: &str,
        is_other: impl Fn(FileKind) -> bool,
    ) -> Result<(Self, Titles), Fault> {
        let file = input.path().to_owned();
        let path = file.as_path();
        let mut lines = Lines::read(input, kind, is_other)?;
        let mut line = lines.next_line().map_err(|why| why.fault(path, kind))?.map(<[u8]>::to_vec);
        while line.as_ref().is_some_and(|line| line.starts_with(b"#") && !FileKind::is_header(line)) {
            line = lines.next_line().map_err(|why| why.fault(path, kind))?.map(<[u8]>::to_vec);
        }
        let Some(line) = line else {
            return Err(Fault::new(path, "is empty", format!("give {kind}: a header line and rows")));
        };
        let titles = Titles::read(path, &line, lines.number(), begins)?;
        Ok((Self { path: path.to_owned(), lines, kind, titles: titles.all.clone() }, titles))
    }

    /// The next row; `None` at the end.
    pub(crate) fn next(&mut self) -> Result<Option<&[u8]>, Fault> {
        self.lines.next_row().map_err(|why| why.fault(&self.path, self.kind))
    }

    /// Another header follows within the file.
    pub(crate) fn set_titles(&mut self, titles: &Titles) {
        self.titles.clone_from(&titles.all);
    }

    /// The number of the line that was read last.
    pub(crate) fn line(&self) -> u64 {
        self.lines.number()
    }

    /// How many bytes of the file were read.
    pub(crate) fn consumed(&self) -> u64 {
        self.lines.consumed()
    }

    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// The message for a row that was refused, the last one that was read.
    pub(crate) fn refuse(&self, line: &[u8], why: Refused) -> Fault {
        match why {
            Refused::Cell(cell) if !self.is_cut(line, cell.column) => {
                let WrongCell { column, found, remedy } = *cell;
                // The cell was read without the spaces around it; a CR is one.
                let written = line.split(|&byte| byte == b',').nth(column).unwrap_or_default();
                let remedy = if written.contains(&b'\r') { LINE_ENDS.to_owned() } else { remedy };
                self.fault(found, remedy).column(column + 1, &self.titles[column])
            }
            _ => miscounted(&self.path, line, self.titles.len()).at(self.lines.number()),
        }
    }

    /// Whether the line ends within the number in this column: the number is wrong for that reason.
    fn is_cut(&self, line: &[u8], column: usize) -> bool {
        let mut cells = line.split(|&byte| byte == b',').skip(column);
        let is_number = |cell: &[u8]| cell.iter().all(|&byte| byte.is_ascii_digit() || b"-.".contains(&byte));
        cells.next().is_some_and(is_number) && cells.next().is_none() && column + 1 < self.titles.len()
    }

    /// The message for the row that was read last as a whole.
    pub(crate) fn fault(&self, found: impl Into<String>, remedy: impl Into<String>) -> Fault {
        Fault::new(&self.path, found, remedy).at(self.lines.number())
    }
}
