//! Reads a trace row by row, in bounded memory.

use std::fs::File;
use std::path::{Path, PathBuf};

use handback::{Deflection, Frame};

use super::header::{Field, Header};
use super::points::{NotPoints, bits_of};
use crate::error::{Fault, quoted};
use crate::looks::Looks;
use crate::number::{MICROSECONDS, POINTS};
use crate::row::Row;
use crate::table::{Lines, NoLine, is_blank, mend_of, miscounted};

/// Two steps further apart than this look close on the engine's 32-bit clock.
const LONGEST_GAP_US: u64 = u32::MAX as u64;

/// A trace being read.
pub(crate) struct TraceReader {
    path: PathBuf,
    lines: Lines<File>,
    header: Header,
    /// The time of the row before.
    last_us: Option<u64>,
}

/// Why a row is refused, and the index of the column.
struct Refused {
    column: usize,
    why: Why,
}

/// What is wrong with a cell or a row.
enum Why {
    Points(NotPoints),
    NotMicroseconds,
    NotASwitch,
    /// One side's cells are neither all empty nor all filled.
    HalfAFrame,
    Backwards(u64),
    TooLongAfter(u64),
    /// The line has this many cells too few (the column is the first missing one) or too many.
    Cells,
}

impl TraceReader {
    /// Opens a trace and reads its header.
    pub(crate) fn open(path: &Path) -> Result<Self, Fault> {
        let mut lines = Lines::open(path, "a trace", |looks| looks != Looks::Trace)?;
        let header = match lines.next_line() {
            Ok(Some(line)) => {
                let line = line.to_vec();
                Header::read(path, &line, lines.number())?
            }
            Ok(None) => return Err(Fault::new(path, "is empty", "give a trace: a header line and rows")),
            Err(why) => return Err(no_line(path, lines.number(), &why)),
        };
        Ok(Self { path: path.to_owned(), lines, header, last_us: None })
    }

    /// The names of the axes, axis 0 first.
    pub(crate) fn names(&self) -> &[String] {
        &self.header.names
    }

    /// How many bytes of the file were read into rows.
    pub(crate) fn consumed(&self) -> u64 {
        self.lines.consumed()
    }

    /// The next row; `None` at the end. `N` is the number of names.
    pub(crate) fn next_row<const N: usize>(&mut self) -> Result<Option<Row<N>>, Fault> {
        let line = loop {
            match self.lines.next_line() {
                Ok(Some(line)) if is_blank(line) => {}
                Ok(Some(line)) => break line,
                Ok(None) if self.last_us.is_none() => {
                    return Err(Fault::new(&self.path, "has a header and no row", "record a lesson and give its rows"));
                }
                Ok(None) => return Ok(None),
                Err(why) => return Err(no_line(&self.path, self.lines.number(), &why)),
            }
        };
        match parse(line, &self.header.fields, self.last_us) {
            Ok(row) => {
                self.last_us = Some(row.time_us);
                Ok(Some(row))
            }
            Err(refused) => {
                let line = line.to_vec();
                Err(self.refuse(&line, &refused))
            }
        }
    }

    /// The message for a refused row.
    fn refuse(&self, line: &[u8], refused: &Refused) -> Fault {
        let &Refused { column, ref why } = refused;
        let cell = line.split(|&byte| byte == b',').nth(column).unwrap_or_default().trim_ascii();
        let value = quoted(cell);
        let (found, mend) = match *why {
            Why::Points(NotPoints::NotANumber) => (
                format!("{value} is no number of points"),
                "write points with up to 4 decimals, the sign a point, such as -12.5; leave the whole side empty where no frame came",
            ),
            Why::Points(NotPoints::TooFine) => (format!("{value} has more than 4 decimals"), "round it to 4"),
            Why::Points(NotPoints::TooFar) => (format!("{value} is out of range"), "keep to -200 to 199.99 points"),
            Why::NotMicroseconds => (
                format!("{value} is no time in microseconds"),
                "write a whole number of microseconds, such as 20000 for 20 ms",
            ),
            Why::NotASwitch => (format!("{value} is no position of a switch"), "write 1 for on or 0 for off"),
            Why::HalfAFrame => (
                format!("{value} is empty, but other cells of this side are not"),
                "fill all cells of the side, or none where no frame came",
            ),
            Why::Backwards(before) => {
                (format!("{value} is before the row above, {before}"), "sort the rows by time_us")
            }
            Why::TooLongAfter(before) => (
                format!("{value} is more than 71.5 minutes after the row above, {before}"),
                "split the trace there: the engine's clock wraps and could not see the gap",
            ),
            Why::Cells => return miscounted(&self.path, line, self.lines.number(), self.header.fields.len()),
        };
        let unit = if matches!(why, Why::Points(_)) { &POINTS } else { &MICROSECONDS };
        let mend = mend_of(cell, unit).unwrap_or(mend.to_owned());
        Fault::new(&self.path, found, mend).at(self.lines.number()).column(column + 1, &self.header.titles[column])
    }
}

fn no_line(path: &Path, number: u64, why: &NoLine) -> Fault {
    why.fault(path, number, "a trace")
}

/// The sticks of one side while its cells come in.
struct Side<const N: usize> {
    axes: [Deflection; N],
    filled: usize,
    /// The column of the last empty cell.
    empty: usize,
}

impl<const N: usize> Side<N> {
    const NONE: Self = Self { axes: [Deflection::CENTRE; N], filled: 0, empty: 0 };

    fn put(&mut self, axis: u8, cell: &[u8], column: usize) -> Result<(), Refused> {
        if cell.is_empty() {
            self.empty = column;
        } else if let Some(place) = self.axes.get_mut(usize::from(axis)) {
            *place = bits_of(cell).map_err(|why| Refused { column, why: Why::Points(why) })?;
            self.filled += 1;
        }
        Ok(())
    }

    fn frame(self) -> Result<Option<Frame<N>>, Refused> {
        match self.filled {
            0 => Ok(None),
            filled if filled == N => Ok(Some(Frame::new(self.axes))),
            _ => Err(Refused { column: self.empty, why: Why::HalfAFrame }),
        }
    }
}

fn parse<const N: usize>(line: &[u8], fields: &[Field], last_us: Option<u64>) -> Result<Row<N>, Refused> {
    let (mut time_us, mut lesson_switch, mut instructor_now) = (0, false, false);
    let (mut instructor, mut student) = (Side::NONE, Side::NONE);
    let mut cells = line.split(|&byte| byte == b',');
    for (column, &field) in fields.iter().enumerate() {
        let Some(cell) = cells.next() else { return Err(Refused { column, why: Why::Cells }) };
        let cell = cell.trim_ascii();
        match field {
            Field::Time => time_us = time(cell, last_us).map_err(|why| Refused { column, why })?,
            Field::Switch => lesson_switch = switch(cell).ok_or(Refused { column, why: Why::NotASwitch })?,
            Field::Now => instructor_now = switch(cell).ok_or(Refused { column, why: Why::NotASwitch })?,
            Field::Instructor(axis) => instructor.put(axis, cell, column)?,
            Field::Student(axis) => student.put(axis, cell, column)?,
        }
    }
    if cells.next().is_some() {
        return Err(Refused { column: fields.len(), why: Why::Cells });
    }
    Ok(Row { time_us, instructor: instructor.frame()?, student: student.frame()?, lesson_switch, instructor_now })
}

fn time(cell: &[u8], last_us: Option<u64>) -> Result<u64, Why> {
    let mut time_us: u64 = 0;
    for &byte in cell {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            return Err(Why::NotMicroseconds);
        }
        time_us =
            time_us.checked_mul(10).and_then(|tens| tens.checked_add(digit.into())).ok_or(Why::NotMicroseconds)?;
    }
    match last_us {
        _ if cell.is_empty() => Err(Why::NotMicroseconds),
        Some(last) if time_us < last => Err(Why::Backwards(last)),
        Some(last) if time_us - last > LONGEST_GAP_US => Err(Why::TooLongAfter(last)),
        _ => Ok(time_us),
    }
}

fn switch(cell: &[u8]) -> Option<bool> {
    match cell {
        b"0" => Some(false),
        b"1" => Some(true),
        _ => None,
    }
}
