//! A raw trace: the widths of every channel of both trains, as a box finds them, before any plan says what they mean.
//!
//! | column | what | values |
//! |---|---|---|
//! | `time_us`, `lesson_switch`, `instructor_now` | as in a trace | |
//! | `us:i0`, `us:i1`, .. | the channels of the instructor's train | microseconds; empty: no frame came |
//! | `us:s0`, `us:s1`, .. | the channels of the student's train | the same |
//!
//! A train that did not come yet has no columns. Where the number of channels changes, a new header follows.

use handback::Pulse;

use super::reader::{switch, time};
use super::{NOW, SWITCH, TIME};
use crate::error::Fault;
use crate::number::MICROSECONDS;
use crate::policy::{MOST_CHANNELS, Side};
use crate::table::{Refused, Titles};

/// What the columns of channels begin with, by side.
const SIDES: [(&str, Side); 2] = [("us:i", Side::Instructor), ("us:s", Side::Student)];

const FORMS: &str = "a raw trace has time_us, lesson_switch, instructor_now, and us:i0, us:i1, .. and us:s0, us:s1, ..";

/// A train of one side.
pub(crate) type Train = [Pulse; MOST_CHANNELS];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Field {
    Time,
    Switch,
    Now,
    /// Side 0 is the instructor's.
    Channel(usize, usize),
}

/// The columns of a raw trace, in their order in the file.
#[derive(Debug)]
pub(crate) struct RawHeader {
    fields: Vec<Field>,
    /// The number of channels of the instructor's train and of the student's.
    pub(super) channels: [usize; 2],
}

/// One row.
#[derive(Debug)]
pub(crate) struct RawRow {
    pub(crate) time_us: u64,
    pub(super) lesson_switch: bool,
    pub(super) instructor_now: bool,
    pub(crate) trains: [Option<Train>; 2],
}

/// Whether these titles are those of a raw trace.
pub(crate) fn is_raw(titles: &[String]) -> bool {
    titles.iter().any(|title| title == SWITCH)
        && !titles.iter().any(|title| title.starts_with("i:"))
        && titles.iter().any(|title| channel_of(title).is_some())
}

/// The side and the number of a column of a channel.
fn channel_of(title: &str) -> Option<(usize, usize)> {
    let (side, number) =
        SIDES.iter().enumerate().find_map(|(side, (begin, _))| Some((side, title.strip_prefix(begin)?)))?;
    let is_number = number == "0" || !number.starts_with('0') && number.bytes().all(|byte| byte.is_ascii_digit());
    number.parse().ok().filter(|_| is_number).map(|number| (side, number))
}

impl RawHeader {
    pub(crate) fn of(titles: &Titles) -> Result<Self, Fault> {
        let (mut fields, mut channels) = (Vec::new(), [0; 2]);
        for (index, title) in titles.all.iter().enumerate() {
            fields.push(match (title.as_str(), channel_of(title)) {
                (TIME, _) => Field::Time,
                (SWITCH, _) => Field::Switch,
                (NOW, _) => Field::Now,
                (_, Some((side, channel))) if channel == channels[side] && channel < MOST_CHANNELS => {
                    channels[side] += 1;
                    Field::Channel(side, channel)
                }
                (_, Some(_)) => {
                    let remedy = "number the channels of a side from 0, without a gap, up to 15";
                    return Err(titles.fault_in(index, "is not the next channel", remedy));
                }
                _ => {
                    let remedy = format!("remove it, or correct its name: {FORMS}");
                    return Err(titles.unknown(index, "is no column of a raw trace", [TIME, SWITCH, NOW], remedy));
                }
            });
        }
        for (title, field) in [(TIME, Field::Time), (SWITCH, Field::Switch), (NOW, Field::Now)] {
            if !fields.contains(&field) {
                return Err(titles.fault(format!("the column \"{title}\" is missing"), format!("add it: {FORMS}")));
            }
        }
        Ok(Self { fields, channels })
    }

    /// The number of channels of the instructor's train.
    pub(crate) fn instructor(&self) -> usize {
        self.channels[0]
    }

    /// Reads a row.
    pub(crate) fn row(&self, line: &[u8], last_us: Option<u64>) -> Result<RawRow, Refused> {
        let cells = line.split(|&byte| byte == b',');
        if cells.clone().count() != self.fields.len() {
            return Err(Refused::Count);
        }
        let mut row = RawRow { time_us: 0, lesson_switch: false, instructor_now: false, trains: [None; 2] };
        let mut empty = [None; 2];
        for (column, (&field, cell)) in self.fields.iter().zip(cells).enumerate() {
            let cell = cell.trim_ascii();
            match field {
                Field::Time => row.time_us = time(column, cell, last_us)?,
                Field::Switch => row.lesson_switch = switch(column, cell)?,
                Field::Now => row.instructor_now = switch(column, cell)?,
                Field::Channel(side, _) if cell.is_empty() => empty[side] = Some(column),
                Field::Channel(side, channel) => {
                    row.trains[side].get_or_insert([Pulse::MIN; MOST_CHANNELS])[channel] = width(column, cell)?;
                }
            }
        }
        for (train, empty) in row.trains.iter().zip(empty) {
            if let (Some(_), Some(column)) = (train, empty) {
                let (found, remedy) = ("is empty, but other channels of this train are not", "fill all, or none");
                return Err(Refused::cell(column, b"", found, remedy, &MICROSECONDS));
            }
        }
        Ok(row)
    }
}

fn width(column: usize, cell: &[u8]) -> Result<Pulse, Refused> {
    let number = std::str::from_utf8(cell).ok().and_then(crate::number::read);
    match number {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in range
        Some(us) if (0.0..4096.0).contains(&us) => Ok(Pulse::from_bits((us * 16.0) as u16)),
        _ => {
            let (found, remedy) = ("is no width of a channel", "write microseconds, such as 1500");
            Err(Refused::cell(column, cell, found, remedy, &MICROSECONDS))
        }
    }
}
