//! The steps of a trace, whichever form it has: points as they are, or channels by the plan of a box.

use std::path::Path;

use handback::{CheckedChannels, Micros};

use super::raw::RawHeader;
use super::reader::{Columns, TraceReader};
use super::{Recorder, Said, TIME};
use crate::error::Fault;
use crate::policy::{BoxPlan, MOST_CHANNELS, PolicyFile};
use crate::row::Row;
use crate::table::Titles;

/// A row, and what a box said about it.
#[derive(Clone, Debug)]
pub(crate) struct Read<const N: usize> {
    pub(crate) row: Row<N>,
    pub(crate) said: Said,
}

/// A trace being read, with the channels of both sides where it is raw.
pub(crate) struct Steps<const N: usize> {
    reader: TraceReader,
    sides: Option<Sides<N>>,
}

struct Sides<const N: usize> {
    channels: [CheckedChannels<Micros, N, MOST_CHANNELS>; 2],
    counts: [usize; 2],
}

impl TraceReader {
    /// The names of the axes: those of the trace, or, where it is raw, those of the box in `file`.
    pub(crate) fn names_with(&self, file: Option<&PolicyFile>) -> Result<Vec<String>, Fault> {
        match (self.names(), file) {
            (Some(names), _) => Ok(names.to_vec()),
            (None, Some(file)) if file.is_box() => Ok(file.names()),
            (None, _) => {
                let found = "is a raw trace: it has channels, not axes";
                let remedy = "give the box file that says which channel is which axis, as --policy box.toml";
                Err(Fault::new(self.rows.path(), found, remedy))
            }
        }
    }
}

impl<const N: usize> Steps<N> {
    /// The rows of this trace; `plan` is that of the box.
    pub(crate) fn new(reader: TraceReader, plan: Option<&BoxPlan<N>>) -> Result<Self, Fault> {
        let refuse = |why: String| Fault::told(reader.rows.path(), why);
        let sides = match (&reader.header, plan) {
            (Columns::Raw(header), Some(plan)) => {
                let checked = [plan.instructor, plan.student].map(handback::Channels::check);
                let [instructor, student] = checked;
                let channels = [
                    instructor.map_err(|why| refuse(why.to_string()))?,
                    student.map_err(|why| refuse(why.to_string()))?,
                ];
                let trains = [&plan.instructor_train, &plan.student_train];
                let counts = trains.map(|train| train.channels.map_or(MOST_CHANNELS, usize::from));
                let sides = Sides { channels, counts };
                sides.check(reader.rows.path(), reader.rows.line(), header)?;
                Some(sides)
            }
            _ => None,
        };
        Ok(Self { reader, sides })
    }

    /// Who took the decisions of its check values.
    pub(crate) fn recorder(&self) -> Recorder {
        self.reader.recorder()
    }

    /// How many bytes of the file were read into rows.
    pub(crate) fn consumed(&self) -> u64 {
        self.reader.consumed()
    }

    /// The next row; `None` at the end.
    pub(crate) fn next(&mut self) -> Result<Option<Read<N>>, Fault> {
        let row = match &self.sides {
            None => self.reader.next_row()?,
            Some(sides) => next_raw(&mut self.reader, sides)?,
        };
        Ok(row.map(|row| Read { row, said: self.reader.said() }))
    }
}

impl<const N: usize> Sides<N> {
    /// Refuses a header with another number of channels than the plan: a stick could be read as another axis.
    fn check(&self, path: &Path, line: u64, header: &RawHeader) -> Result<(), Fault> {
        for ((side, found), told) in ["instructor", "student"].into_iter().zip(header.channels).zip(self.counts) {
            if found != 0 && found != told {
                let said = format!("the {side}'s train has {found} channels, and the box file says {told}");
                let remedy = format!("write channels = {found} below [{side}], or find it by `lesson learn`");
                return Err(Fault::new(path, said, remedy).at(line));
            }
        }
        Ok(())
    }
}

fn next_raw<const N: usize>(reader: &mut TraceReader, sides: &Sides<N>) -> Result<Option<Row<N>>, Fault> {
    loop {
        let Some(line) = reader.rows.next()? else { return reader.end().map(|()| None) };
        if line.starts_with(b"#") {
            continue;
        }
        if line.starts_with(TIME.as_bytes()) {
            let (line, path, number) = (line.to_vec(), reader.rows.path().to_owned(), reader.rows.line());
            let titles = Titles::read(&path, &line, number, TIME)?;
            let header = RawHeader::of(&titles)?;
            sides.check(&path, number, &header)?;
            reader.rows.set_titles(&titles);
            reader.header = Columns::Raw(header);
            continue;
        }
        let Columns::Raw(header) = &reader.header else { return Ok(None) };
        let row = match header.row(line, reader.last_us) {
            Ok(row) => row,
            Err(why) => {
                let line = line.to_vec();
                return Err(reader.rows.refuse(&line, why));
            }
        };
        reader.begin_row(row.time_us, None);
        let [instructor, student] = row.trains;
        let [of_instructor, of_student] = &sides.channels;
        return Ok(Some(Row {
            time_us: row.time_us,
            instructor: instructor.map(|train| of_instructor.frame(&train)),
            student: student.map(|train| of_student.frame(&train)),
            lesson_switch: row.lesson_switch,
            instructor_now: row.instructor_now,
        }));
    }
}
