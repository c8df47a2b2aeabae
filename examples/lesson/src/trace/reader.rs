//! Reads a trace row by row, in bounded memory.

use std::path::Path;

use handback::{Deflection, Frame};

use super::header::{BEGINS, Field, Header, Recorder};
use super::notes::{Notes, Said};
use super::points::{NotPoints, bits_of};
use super::raw::{RawHeader, is_raw};
use crate::error::Fault;
use crate::file_kind::FileKind;
use crate::input::Input;
use crate::number::{CHANNELS, MICROSECONDS, POINTS};
use crate::row::Row;
use crate::table::{Refused, Rows, Titles};

/// Two steps further apart than this look close on the engine's 32-bit clock.
const LONGEST_GAP_US: u64 = u32::MAX as u64;

/// A trace being read.
pub(crate) struct TraceReader {
    pub(super) rows: Rows,
    pub(super) header: Columns,
    /// The time of the row before.
    pub(super) last_us: Option<u64>,
    notes: Notes,
    said: Said,
}

/// What the columns hold.
#[derive(Debug)]
pub(super) enum Columns {
    Points(Header),
    Raw(RawHeader),
}

impl TraceReader {
    /// Begins to read a trace, with its header.
    pub(crate) fn read(input: Input) -> Result<Self, Fault> {
        let (rows, titles) = Rows::read(input, "a recording of a lesson", BEGINS, |looks| looks != FileKind::Trace)?;
        Self::of(rows, &titles)
    }

    /// The trace of these rows, after their titles.
    pub(crate) fn of(rows: Rows, titles: &Titles) -> Result<Self, Fault> {
        let header = if is_raw(&titles.all) {
            Columns::Raw(RawHeader::of(titles)?)
        } else {
            Columns::Points(Header::of(titles)?)
        };
        Ok(Self { rows, header, last_us: None, notes: Notes::default(), said: Said::default() })
    }

    /// The file, for messages.
    pub(crate) fn path(&self) -> &Path {
        self.rows.path()
    }

    /// The names of the axes, axis 0 first; `None` where the trace is raw and has channels.
    pub(crate) fn names(&self) -> Option<&[String]> {
        match &self.header {
            Columns::Points(header) => Some(&header.names),
            Columns::Raw(_) => None,
        }
    }

    /// Who took the decisions of its check values.
    pub(crate) fn recorder(&self) -> Recorder {
        match &self.header {
            Columns::Points(header) => header.recorder,
            Columns::Raw(_) => Recorder::Box,
        }
    }

    /// What was said about the last row.
    pub(crate) fn said(&self) -> Said {
        self.said
    }

    /// How many bytes of the file were read into rows.
    pub(crate) fn consumed(&self) -> u64 {
        self.rows.consumed()
    }

    /// The next row of a trace with points; `None` at the end. `N` is the number of names.
    pub(crate) fn next_row<const N: usize>(&mut self) -> Result<Option<Row<N>>, Fault> {
        loop {
            let Some(line) = self.rows.next()? else { return self.end().map(|()| None) };
            if line.starts_with(b"#") {
                let line = line.to_vec();
                self.notes.take(&self.rows, &line)?;
                continue;
            }
            let Columns::Points(header) = &self.header else { return Ok(None) };
            match parse(line, &header.fields, self.last_us) {
                Ok((row, check)) => {
                    self.begin_row(row.time_us, check);
                    return Ok(Some(row));
                }
                Err(why) => {
                    let line = line.to_vec();
                    return Err(self.rows.refuse(&line, why));
                }
            }
        }
    }

    /// A row of this time was read.
    pub(super) fn begin_row(&mut self, time_us: u64, check: Option<u32>) {
        let Notes { begins, missing } = std::mem::take(&mut self.notes);
        self.said = Said { line: self.rows.line(), begins, missing, check };
        self.last_us = Some(time_us);
    }

    /// Refuses a trace without a row.
    pub(super) fn end(&self) -> Result<(), Fault> {
        if self.last_us.is_none() {
            let remedy = "record a lesson and give its rows";
            return Err(Fault::new(self.rows.path(), "has a header and no row", remedy));
        }
        Ok(())
    }
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
            *place = bits_of(cell).map_err(|why| no_points(column, cell, why))?;
            self.filled += 1;
        }
        Ok(())
    }

    fn frame(self) -> Result<Option<Frame<N>>, Refused> {
        match self.filled {
            0 => Ok(None),
            filled if filled == N => Ok(Some(Frame::new(self.axes))),
            _ => {
                let remedy = "fill all cells of the side, or none where no frame came";
                Err(Refused::cell(self.empty, b"", "is empty, but other cells of this side are not", remedy, &POINTS))
            }
        }
    }
}

fn parse<const N: usize>(
    line: &[u8],
    fields: &[Field],
    last_us: Option<u64>,
) -> Result<(Row<N>, Option<u32>), Refused> {
    let (mut time_us, mut lesson_switch, mut instructor_now, mut checked) = (0, false, false, None);
    let (mut instructor, mut student) = (Side::NONE, Side::NONE);
    let mut cells = line.split(|&byte| byte == b',');
    for (column, &field) in fields.iter().enumerate() {
        let Some(cell) = cells.next() else { return Err(Refused::Count) };
        let cell = cell.trim_ascii();
        match field {
            Field::Time => time_us = time(column, cell, last_us)?,
            Field::Switch => lesson_switch = switch(column, cell)?,
            Field::Now => instructor_now = switch(column, cell)?,
            Field::Instructor(axis) => instructor.put(axis, cell, column)?,
            Field::Student(axis) => student.put(axis, cell, column)?,
            Field::Check => checked = check(column, cell)?,
        }
    }
    if cells.next().is_some() {
        return Err(Refused::Count);
    }
    let (instructor, student) = (instructor.frame()?, student.frame()?);
    Ok((Row { time_us, instructor, student, lesson_switch, instructor_now }, checked))
}

fn no_points(column: usize, cell: &[u8], why: NotPoints) -> Refused {
    let (found, remedy) = match why {
        NotPoints::NotANumber => (
            "is no number of points",
            "write points with up to 4 decimals, the sign a point, such as -12.5; leave the whole side empty where no frame came",
        ),
        NotPoints::TooFine => ("has more than 4 decimals", "round it to 4"),
        NotPoints::TooFar => ("is out of range", "keep to -200 to 199.99 points"),
    };
    Refused::cell(column, cell, found, remedy, &POINTS)
}

/// A check value; empty where none was written.
fn check(column: usize, cell: &[u8]) -> Result<Option<u32>, Refused> {
    let digits = std::str::from_utf8(cell).ok().filter(|digits| digits.bytes().all(|byte| byte.is_ascii_hexdigit()));
    match digits {
        Some("") => Ok(None),
        Some(digits) if digits.len() == 8 => Ok(u32::from_str_radix(digits, 16).ok()),
        _ => {
            let (found, remedy) = ("is no check value", "give 8 hexadecimal digits as the box sent them, or none");
            Err(Refused::cell(column, cell, found, remedy, &CHANNELS))
        }
    }
}

pub(super) fn time(column: usize, cell: &[u8], last_us: Option<u64>) -> Result<u64, Refused> {
    let refuse = |found: &str, remedy| Err(Refused::cell(column, cell, found, remedy, &MICROSECONDS));
    let time_us = cell.iter().try_fold(0_u64, |time_us, &byte| {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 { None } else { time_us.checked_mul(10)?.checked_add(digit.into()) }
    });
    let Some(time_us) = time_us.filter(|_| !cell.is_empty()) else {
        return refuse("is no time in microseconds", "write a whole number of microseconds, such as 20000 for 20 ms");
    };
    match last_us {
        Some(last) if time_us < last => refuse(&format!("is before the row above, {last}"), "sort the rows by time_us"),
        Some(last) if time_us - last > LONGEST_GAP_US => refuse(
            &format!("is more than 71.5 minutes after the row above, {last}"),
            "split the recording there: the engine's clock wraps and could not see the gap",
        ),
        _ => Ok(time_us),
    }
}

pub(super) fn switch(column: usize, cell: &[u8]) -> Result<bool, Refused> {
    match cell {
        b"0" => Ok(false),
        b"1" => Ok(true),
        _ => {
            let (found, remedy) = ("is no position of a switch", "write 1 for on or 0 for off");
            Err(Refused::cell(column, cell, found, remedy, &MICROSECONDS))
        }
    }
}
