//! A recording of the instructor's sticks, frame by frame: at rest, or swept.
//!
//! It is a table in the format of a trace (`table`), with these columns:
//!
//! | column | meaning | values |
//! |---|---|---|
//! | `time_us` or `time_s` | time of the frame | whole microseconds, or seconds with up to 6 decimals; never less than the row before |
//! | `us:<axis>` | pulse width of the axis | microseconds, 500 to 2500, decimals allowed; 1500 is the centre, 500 are full travel |
//! | `points:<axis>`, `i:<axis>` | deflection | points, -200 to 199.99 |
//! | `counts:<axis>` | counts of a converter | any number; the mean of the rest is the centre, `--full-travel` the counts from there to an end |
//!
//! Each of 1 to 16 axes has one column. A file with a column that begins with `i:` counts as a trace; its other columns
//! are ignored. In each row the cells of all axes are filled, or all are empty where no frame came.

use std::path::PathBuf;

use handback::Deflection;

use super::columns::{BEGINS, Columns, Field, Unit};
use crate::error::Fault;
use crate::file_kind::FileKind;
use crate::for_axes;
use crate::input::Input;
use crate::number;
use crate::policy::PolicyFile;
use crate::table::{Refused, Rows};
use crate::trace::{Read, Steps, TraceReader, is_raw};

/// The most frames held in memory: 11 hours at 50 frames a second.
const MOST_FRAMES: usize = 2_000_000;

/// All frames of a recording, as they were written.
pub(crate) struct Recording {
    /// The file, for messages.
    pub(crate) path: PathBuf,
    pub(crate) names: Vec<String>,
    pub(super) units: Vec<Unit>,
    /// The time of each frame.
    pub(super) time_us: Vec<u64>,
    /// The readings of each axis, one per frame.
    pub(super) axes: Vec<Vec<f64>>,
    /// Where points were pulses in a raw trace: microseconds a point, the fewest of any axis.
    pub(super) us_per_point: Option<f64>,
}

impl Recording {
    /// Reads a whole recording; a raw trace by the channels of the box in `file`.
    pub(crate) fn read(input: Input, file: Option<&PolicyFile>) -> Result<Self, Fault> {
        let path = input.path().to_owned();
        let is_other = |looks| !matches!(looks, FileKind::Recording | FileKind::Trace);
        let (mut rows, titles) = Rows::read(input, "a rest recording", BEGINS, is_other)?;
        if is_raw(&titles.all) {
            let trace = TraceReader::of(rows, &titles)?;
            let names = trace.names_with(file)?;
            return for_axes!(names.len(), of_raw(path, trace, file, &names));
        }
        let columns = Columns::of(&titles)?;
        let axes = vec![Vec::new(); columns.names.len()];
        let mut recording = Self {
            path,
            names: columns.names.clone(),
            units: columns.units.clone(),
            time_us: Vec::new(),
            axes,
            us_per_point: None,
        };
        let (mut row, mut last_us) = (Vec::new(), None);
        while let Some(line) = rows.next()? {
            row.clear();
            // A box writes its notes between the rows of a trace.
            if line.starts_with(b"#") {
                continue;
            }
            let time_us = match parse(line, &columns, last_us, &mut row) {
                Ok(time_us) => time_us,
                Err(why) => {
                    let line = line.to_vec();
                    return Err(rows.refuse(&line, why));
                }
            };
            last_us = Some(time_us);
            if row.is_empty() {
                continue;
            }
            if recording.time_us.len() == MOST_FRAMES {
                return Err(rows.fault(format!("has more than {MOST_FRAMES} rows"), "give fewer: an hour is enough"));
            }
            recording.time_us.push(time_us);
            recording.axes.iter_mut().zip(&row).for_each(|(axis, &reading)| axis.push(reading));
        }
        Ok(recording)
    }

    /// Its length, in seconds.
    pub(super) fn lasted_s(&self) -> f64 {
        let (first, last) = (self.time_us.first().copied(), self.time_us.last().copied());
        crate::tune::seconds(last.unwrap_or(0) - first.unwrap_or(0))
    }
}

/// The instructor's sticks of a raw trace, in points.
fn of_raw<const N: usize>(
    path: PathBuf,
    trace: TraceReader,
    file: Option<&PolicyFile>,
    names: &[String],
) -> Result<Recording, Fault> {
    let plan = file.map(PolicyFile::plan::<N>).transpose()?.flatten();
    let mut steps = Steps::new(trace, plan.as_ref())?;
    let (units, axes) = (vec![Unit::Points; N], vec![Vec::new(); N]);
    let channels = plan.iter().flat_map(|plan| plan.instructor.axes).flatten();
    let travels = channels.flat_map(|channel| [(channel.low, channel.centre), (channel.centre, channel.high)]);
    let us_per_point = travels.map(|(from, to)| f64::from(to.to_bits().abs_diff(from.to_bits())) / 1600.0);
    let us_per_point = us_per_point.min_by(f64::total_cmp);
    let mut recording = Recording { path, names: names.to_vec(), units, time_us: Vec::new(), axes, us_per_point };
    while let Some(Read { row, .. }) = steps.next()? {
        let Some(frame) = row.instructor else { continue };
        recording.time_us.push(row.time_us);
        for (axis, at) in recording.axes.iter_mut().zip(frame.axes()) {
            axis.push(f64::from(at.to_bits()) * 100.0 / f64::from(Deflection::FULL.to_bits()));
        }
    }
    Ok(recording)
}

/// Parses one line: returns its time, and puts the readings of all axes into `row`, or none where their cells are
/// empty.
pub(super) fn parse(line: &[u8], columns: &Columns, last_us: Option<u64>, row: &mut Vec<f64>) -> Result<u64, Refused> {
    let cells = line.split(|&byte| byte == b',');
    if cells.clone().count() != columns.fields.len() {
        return Err(Refused::Count);
    }
    let (mut time_us, mut empty, mut filled) = (0, None, false);
    row.resize(columns.names.len(), 0.0);
    for (column, (&field, cell)) in columns.fields.iter().zip(cells).enumerate() {
        let cell = cell.trim_ascii();
        match field {
            Field::Micros | Field::Seconds => time_us = time(column, field, cell, last_us)?,
            Field::Axis(_) if cell.is_empty() => empty = Some(column),
            Field::Axis(axis) => {
                filled = true;
                row[axis] = reading(column, columns.units[axis], cell)?;
            }
            Field::Ignored => {}
        }
    }
    match empty {
        Some(column) if filled => {
            let remedy = "fill the cells of all axes, or none where no frame came";
            Err(Refused::cell(column, b"", "is empty, but the cells of other axes are not", remedy, &number::POINTS))
        }
        Some(_) => {
            row.clear();
            Ok(time_us)
        }
        None => Ok(time_us),
    }
}

fn time(column: usize, field: Field, cell: &[u8], last_us: Option<u64>) -> Result<u64, Refused> {
    let (scale, decimals, unit, kind, remedy) = if field == Field::Seconds {
        let remedy = "write seconds with up to 6 decimals after a point, such as 0.02";
        (1e6, 6, &number::SECONDS, "is no time in seconds", remedy)
    } else {
        let remedy = "write a whole number of microseconds, such as 20000 for 20 ms";
        (1.0, 0, &number::MICROSECONDS, "is no time in microseconds", remedy)
    };
    let refuse = |found: &str, remedy| Err(Refused::cell(column, cell, found, remedy, unit));
    let Some(time) = decimal(cell, decimals) else { return refuse(kind, remedy) };
    // 285 years: below this, an f64 holds every whole number of microseconds exactly.
    if !(0.0..=9e15).contains(&(time * scale)) {
        return refuse(kind, remedy);
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in range, as checked above
    let time_us = (time * scale).round() as u64;
    match last_us {
        Some(last) if time_us < last => refuse("is before the row above", "sort the rows by time"),
        _ => Ok(time_us),
    }
}

fn reading(column: usize, unit: Unit, cell: &[u8]) -> Result<f64, Refused> {
    let refuse = |found: &str, remedy| Err(Refused::cell(column, cell, found, remedy, unit.counts()));
    let (kind, remedy) = match unit {
        Unit::Micros => ("is no pulse width", "write microseconds, the decimal sign a point, such as 1502.5"),
        Unit::Points => ("is no number of points", "write points, the decimal sign a point, such as -1.25"),
        Unit::Counts => ("is no number of counts", "write a number, the decimal sign a point, such as 2047"),
    };
    let Some(value) = decimal(cell, 12) else { return refuse(kind, remedy) };
    match unit {
        Unit::Micros if !(500.0..=2500.0).contains(&value) => refuse(
            "is no pulse of a stick",
            "keep to 500 to 2500 microseconds; leave the cells of all axes empty where no frame came",
        ),
        Unit::Points if !(-200.0..=199.99).contains(&value) => {
            refuse("is out of range", "keep to -200 to 199.99 points")
        }
        Unit::Counts if value.abs() > 1e9 => refuse("is out of range", "keep within a thousand million counts"),
        _ => Ok(value),
    }
}

/// A number with at most this many decimals.
fn decimal(cell: &[u8], decimals: usize) -> Option<f64> {
    let text = std::str::from_utf8(cell).ok()?;
    let part = text.split_once('.').map_or("", |(_, part)| part);
    if part.len() > decimals { None } else { number::read(text) }
}

#[cfg(test)]
#[allow(clippy::float_cmp)] // parsing is exact here
mod tests {
    use super::*;

    #[test]
    fn a_decimal_is_digits_a_sign_and_a_point() {
        for (cell, value) in [("0", 0.0), ("-1.25", -1.25), (".5", 0.5), ("5.", 5.0), ("1500", 1500.0)] {
            assert_eq!(decimal(cell.as_bytes(), 12), Some(value), "{cell}");
        }
        for cell in ["", "-", ".", "NaN", "inf", "1e2", "1,5", "1.2.3", "--1", "+1", "0x10", "\u{664}", "1 2"] {
            assert_eq!(decimal(cell.as_bytes(), 12), None, "{cell}");
        }
        assert_eq!(decimal(b"1.5", 0), None);
    }
}
