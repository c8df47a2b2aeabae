//! Writes a trace row by row.

use std::io;

use handback::Frame;

use super::{INSTRUCTOR, NOW, PAGE_CHECK, Points, STUDENT, SWITCH, TIME};
use crate::destination::Destination;
use crate::error::Fault;
use crate::row::Row;

/// A trace being written.
pub(crate) struct TraceWriter<D> {
    out: D,
}

impl<D: Destination> TraceWriter<D> {
    /// Writes the header; `names` are those of the axes, axis 0 first.
    pub(crate) fn new(out: D, names: &[String]) -> Result<Self, Fault> {
        let mut writer = Self { out };
        writer.header(names, "").map_err(|why| writer.out.fault(why))?;
        Ok(writer)
    }

    /// The same with a column of check values of the page: every row needs one.
    pub(crate) fn with_checks(out: D, names: &[String]) -> Result<Self, Fault> {
        let mut writer = Self { out };
        writer.header(names, &format!(",{PAGE_CHECK}")).map_err(|why| writer.out.fault(why))?;
        Ok(writer)
    }

    /// Writes one row.
    pub(crate) fn write<const N: usize>(&mut self, row: &Row<N>) -> Result<(), Fault> {
        let written = self.row(row).and_then(|()| writeln!(self.out));
        written.map_err(|why| self.out.fault(why))
    }

    /// Writes one row and the check value of every outcome so far.
    pub(crate) fn write_checked<const N: usize>(&mut self, row: &Row<N>, check: u32) -> Result<(), Fault> {
        let written = self.row(row).and_then(|()| writeln!(self.out, ",{check:08x}"));
        written.map_err(|why| self.out.fault(why))
    }

    /// What was written so far.
    pub(crate) fn output(&self) -> &D {
        &self.out
    }

    /// Where it was written.
    pub(crate) fn into_output(self) -> D {
        self.out
    }

    fn header(&mut self, names: &[String], check: &str) -> io::Result<()> {
        write!(self.out, "{TIME},{SWITCH},{NOW}")?;
        for side in [INSTRUCTOR, STUDENT] {
            names.iter().try_for_each(|name| write!(self.out, ",{side}{name}"))?;
        }
        writeln!(self.out, "{check}")
    }

    fn row<const N: usize>(&mut self, row: &Row<N>) -> io::Result<()> {
        write!(self.out, "{},{},{}", row.time_us, u8::from(row.lesson_switch), u8::from(row.instructor_now))?;
        self.frame(row.instructor.as_ref())?;
        self.frame(row.student.as_ref())
    }

    fn frame<const N: usize>(&mut self, frame: Option<&Frame<N>>) -> io::Result<()> {
        match frame {
            Some(frame) => frame.axes().iter().try_for_each(|&axis| write!(self.out, ",{}", Points(axis))),
            None => (0..N).try_for_each(|_| write!(self.out, ",")),
        }
    }
}
