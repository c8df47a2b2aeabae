//! The trace: a recorded lesson as a table, one row per step of the engine.
//!
//! Comma-separated text, UTF-8, without quotes, the decimal sign a point; one header line, lines ended by LF or CR LF.
//! After the header a line is skipped if, and only if, all its cells are empty: a spreadsheet leaves rows of bare commas
//! where others were deleted, and nothing of a lesson can be in them.
//!
//! | column | what | values |
//! |---|---|---|
//! | `time_us` | when the step was | whole microseconds; never less than the row before |
//! | `lesson_switch` | whether the lesson switch is seen on | 0 or 1 |
//! | `instructor_now` | whether the instructor asks for the craft with the button | 0 or 1 |
//! | `i:<axis>` | the instructor's stick, a column per axis, 1 to 16 axes | points; empty: no frame came |
//! | `s:<axis>` | the student's stick, a column for each of the same axes | the same |
//!
//! | `check` | only from a box: the check value of its outcomes so far; from the page it is `page_check` | 8 hexadecimal digits, or empty |
//!
//! Lines that begin with `#` are no rows; a box writes them ([`notes`]). Instead of `i:` and `s:` columns a raw trace has
//! the widths of every channel ([`raw`]).
//!
//! A point is a hundredth of full nominal travel; -200 to 199.99 can be written, with up to 4 decimals. The engine's
//! number is `round(points * 163.84)`, halves away from zero. The cells of one side are all filled or all empty, since a
//! frame comes whole or not at all. Columns may stand in any order; that of the `i:` columns is the order of the axes.
//! Every other column is an error, so that a slip in a name does not pass for a stick that nobody moved. An axis may not
//! be called like a column of the decisions ([`COLUMNS`](crate::decisions::COLUMNS)).

mod header;
mod notes;
mod points;
mod raw;
mod reader;
mod steps;
mod writer;

pub(crate) use header::Recorder;
pub(crate) use notes::Said;
pub(crate) use points::Points;
pub(crate) use raw::{RawHeader, is_raw};
pub(crate) use reader::TraceReader;
pub(crate) use steps::{Read, Steps};
pub(crate) use writer::TraceWriter;

/// The columns that are there once.
const TIME: &str = "time_us";
const SWITCH: &str = "lesson_switch";
const NOW: &str = "instructor_now";
/// The column that only a box writes.
const CHECK: &str = "check";
/// The same from the page in a browser.
const PAGE_CHECK: &str = "page_check";
/// What the column of an axis begins with, by side.
const INSTRUCTOR: &str = "i:";
const STUDENT: &str = "s:";

#[cfg(test)]
mod tests {
    use handback::{Deflection, Frame};
    use proptest::prelude::*;

    use super::*;
    use crate::input::Input;
    use crate::row::Row;

    fn frame<const N: usize>() -> impl Strategy<Value = Option<Frame<N>>> {
        proptest::option::of(
            proptest::array::uniform::<_, N>(any::<i16>()).prop_map(|bits| Frame::new(bits.map(Deflection::from_bits))),
        )
    }

    /// Rows whose time never goes backwards, with equal times and long gaps among them.
    fn rows<const N: usize>() -> impl Strategy<Value = Vec<Row<N>>> {
        let gap = prop_oneof![Just(0_u64), 0..50_000_u64, Just(u64::from(u32::MAX))];
        let row = (gap, frame::<N>(), frame::<N>(), any::<bool>(), any::<bool>());
        proptest::collection::vec(row, 1..40).prop_map(|rows| {
            let mut time_us = 0;
            let mut timed = |(gap, instructor, student, lesson_switch, instructor_now)| {
                time_us += gap;
                Row { time_us, instructor, student, lesson_switch, instructor_now }
            };
            rows.into_iter().map(&mut timed).collect()
        })
    }

    fn written_then_read<const N: usize>(rows: &[Row<N>]) -> Vec<Row<N>> {
        let names = (0..N).map(|axis| format!("axis {axis}")).collect::<Vec<_>>();
        let mut writer = TraceWriter::new(Vec::new(), &names).unwrap();
        for row in rows {
            writer.write(row).unwrap();
        }
        let mut reader = TraceReader::read(Input::of_bytes("trace.csv", writer.into_output())).unwrap();
        assert_eq!(reader.names(), Some(names.as_slice()));
        let mut read = Vec::new();
        while let Some(row) = reader.next_row().unwrap() {
            read.push(row);
        }
        read
    }

    proptest! {
        #[test]
        fn one_axis_comes_back_bit_for_bit(rows in rows::<1>()) {
            prop_assert_eq!(written_then_read(&rows), rows);
        }

        #[test]
        fn four_axes_come_back_bit_for_bit(rows in rows::<4>()) {
            prop_assert_eq!(written_then_read(&rows), rows);
        }

        #[test]
        fn sixteen_axes_come_back_bit_for_bit(rows in rows::<16>()) {
            prop_assert_eq!(written_then_read(&rows), rows);
        }
    }
}
