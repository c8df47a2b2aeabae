//! Writes a trace row by row.

use std::io::{self, Write};

use handback::Frame;

use super::{INSTRUCTOR, NOW, Points, STUDENT, SWITCH, TIME};
use crate::row::Row;

/// A trace being written.
pub(crate) struct TraceWriter<W> {
    out: W,
}

impl<W: Write> TraceWriter<W> {
    /// Writes the header; `names` are those of the axes, axis 0 first.
    pub(crate) fn new(mut out: W, names: &[String]) -> io::Result<Self> {
        write!(out, "{TIME},{SWITCH},{NOW}")?;
        for side in [INSTRUCTOR, STUDENT] {
            for name in names {
                write!(out, ",{side}{name}")?;
            }
        }
        writeln!(out)?;
        Ok(Self { out })
    }

    /// Writes one row.
    pub(crate) fn write<const N: usize>(&mut self, row: &Row<N>) -> io::Result<()> {
        write!(self.out, "{},{},{}", row.time_us, u8::from(row.lesson_switch), u8::from(row.instructor_now))?;
        self.frame(row.instructor.as_ref())?;
        self.frame(row.student.as_ref())?;
        writeln!(self.out)
    }

    fn frame<const N: usize>(&mut self, frame: Option<&Frame<N>>) -> io::Result<()> {
        match frame {
            Some(frame) => frame.axes().iter().try_for_each(|&axis| write!(self.out, ",{}", Points(axis))),
            None => (0..N).try_for_each(|_| write!(self.out, ",")),
        }
    }

    /// What was written to.
    pub(crate) fn into_inner(self) -> W {
        self.out
    }
}
