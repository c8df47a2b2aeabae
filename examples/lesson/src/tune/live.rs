//! A recording while it is made: its rows, and whether they are enough for `tune`.

use std::path::Path;

use super::advice::ENOUGH;
use super::columns::{BEGINS, Columns, Unit};
use super::doubt::BRIEF_S;
use super::recording::parse;
use super::rest::AxisRest;
use crate::error::Fault;
use crate::table::Titles;
use crate::trace::{RawHeader, is_raw};

/// A stick this far from its first readings, in points, was touched.
const TOUCHED: f64 = 10.0;
/// Readings of which the mean is where the stick rests.
const FIRST: usize = 64;

/// The rows so far.
#[derive(Default)]
pub(crate) struct Live {
    header: Option<Header>,
    /// The lines of the file, from the header on.
    lines: Vec<Vec<u8>>,
    time_us: Vec<u64>,
    /// The readings of each axis in points, one per frame.
    axes: Vec<Vec<f64>>,
    last_us: Option<u64>,
    unread: u64,
}

enum Header {
    Raw(RawHeader),
    Rest(Columns),
}

/// One axis so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Progress {
    /// Whether a reading ever changed. A channel that never does is no stick, or tells nothing.
    pub(crate) changes: bool,
    pub(crate) deviation: f64,
    pub(crate) independent: f64,
    /// Whether the rest still wanders.
    pub(crate) wanders: bool,
}

/// What a line was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Took {
    Header,
    Row,
    Note,
    /// A row without a frame, or a line that is no row.
    Nothing,
}

impl Live {
    /// Takes in a line that came from this port.
    pub(crate) fn take(&mut self, path: &Path, line: &[u8]) -> Result<Took, Fault> {
        if line.starts_with(b"#") {
            if self.header.is_some() {
                self.lines.push(line.to_vec());
            }
            return Ok(Took::Note);
        }
        if line.starts_with(b"time_") {
            let titles = Titles::read(path, line, 1, BEGINS)?;
            let header = if is_raw(&titles.all) {
                Header::Raw(RawHeader::of(&titles)?)
            } else {
                Header::Rest(Columns::of(&titles)?)
            };
            if self.width() != header.width() {
                self.begin_again();
                self.axes = vec![Vec::new(); header.width()];
            }
            self.header = Some(header);
            self.lines.push(line.to_vec());
            return Ok(Took::Header);
        }
        let Some(header) = &self.header else { return Ok(Took::Nothing) };
        let Some((time_us, points)) = header.row(line, self.last_us) else {
            // The line was cut where the cable was plugged in, or disturbed.
            self.unread += u64::from(!line.is_empty());
            return Ok(Took::Nothing);
        };
        self.last_us = Some(time_us);
        self.lines.push(line.to_vec());
        if points.is_empty() {
            return Ok(Took::Nothing);
        }
        self.time_us.push(time_us);
        self.axes.iter_mut().zip(points).for_each(|(axis, at)| axis.push(at));
        Ok(Took::Row)
    }

    /// Forgets all rows, not the header.
    pub(crate) fn begin_again(&mut self) {
        self.lines.retain(|line| line.starts_with(b"time_"));
        let last = self.lines.pop();
        self.lines = last.into_iter().collect();
        self.time_us.clear();
        self.axes.iter_mut().for_each(Vec::clear);
    }

    fn width(&self) -> usize {
        self.axes.len()
    }

    pub(crate) fn rows(&self) -> usize {
        self.time_us.len()
    }

    /// Number of lines that could not be read.
    pub(crate) fn unread(&self) -> u64 {
        self.unread
    }

    pub(crate) fn lines(&self) -> &[Vec<u8>] {
        &self.lines
    }

    pub(crate) fn lasted_s(&self) -> f64 {
        match (self.time_us.first(), self.time_us.last()) {
            (Some(first), Some(last)) => crate::count::seconds(last - first),
            _ => 0.0,
        }
    }

    /// The name of an axis, by its column.
    pub(crate) fn name(&self, axis: usize) -> String {
        match &self.header {
            Some(Header::Rest(columns)) => columns.names[axis].clone(),
            _ => format!("i{axis}"),
        }
    }

    /// The axes that were moved in the last row.
    pub(crate) fn touched(&self) -> Vec<usize> {
        let is_touched = |axis: &Vec<f64>| {
            let (Some(first), Some(last)) = (axis.get(..FIRST), axis.last()) else { return false };
            let mean = first.iter().sum::<f64>() / 64.0;
            (last - mean).abs() > TOUCHED
        };
        (0..self.width()).filter(|&axis| is_touched(&self.axes[axis])).collect()
    }

    /// How far every axis is; `None` while there are too few rows.
    pub(crate) fn progress(&self) -> Option<Vec<Progress>> {
        let rests = self.axes.iter().map(|points| {
            let rest = AxisRest::measure(points)?;
            Some(Progress {
                changes: rest.low < rest.high,
                deviation: rest.deviation,
                independent: rest.independent,
                wanders: rest.wander.is_some(),
            })
        });
        rests.collect()
    }

    /// Whether a longer rest would help `tune` no more: it lasted long enough, and every stick has enough independent
    /// frames and does not wander.
    pub(crate) fn is_enough(&self, progress: &[Progress]) -> bool {
        let mut sticks = progress.iter().filter(|axis| axis.changes).peekable();
        self.lasted_s() >= BRIEF_S
            && sticks.peek().is_some()
            && sticks.all(|axis| axis.independent >= ENOUGH && !axis.wanders)
    }

    /// How often each axis went from one far side to the other.
    pub(crate) fn sweeps(&self) -> Vec<usize> {
        self.axes.iter().map(|points| sweeps(points)).collect()
    }
}

/// Number of changes between the two far halves of the travel that was seen.
fn sweeps(points: &[f64]) -> usize {
    let low = points.iter().copied().fold(f64::INFINITY, f64::min);
    let high = points.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // Half of full travel, either way: a stick that was only touched was not swept.
    if high - low < 100.0 {
        return 0;
    }
    let (lower, upper) = (low + (high - low) / 4.0, high - (high - low) / 4.0);
    let (mut side, mut count) = (None, 0);
    for &at in points {
        let now = if at < lower {
            Some(false)
        } else if at > upper {
            Some(true)
        } else {
            side
        };
        count += usize::from(side.is_some() && now != side);
        side = now;
    }
    count
}

impl Header {
    /// Number of axes.
    fn width(&self) -> usize {
        match self {
            Self::Raw(header) => header.instructor(),
            Self::Rest(columns) => columns.names.len(),
        }
    }

    /// Time and points of a row; no points where no frame came; `None` where the line is no row.
    fn row(&self, line: &[u8], last_us: Option<u64>) -> Option<(u64, Vec<f64>)> {
        match self {
            Self::Raw(header) => {
                let row = header.row(line, last_us).ok()?;
                let [train, _] = row.trains;
                let widths = train.iter().flatten().take(header.instructor());
                let points = widths.map(|width| (f64::from(width.to_bits()) / 16.0 - 1500.0) / 5.0);
                Some((row.time_us, points.collect()))
            }
            Self::Rest(columns) => {
                let mut row = Vec::new();
                let time_us = parse(line, columns, last_us, &mut row).ok()?;
                for (at, unit) in row.iter_mut().zip(&columns.units) {
                    *at = match unit {
                        Unit::Micros => (*at - 1500.0) / 5.0,
                        Unit::Points => *at,
                        // Full travel is not known: that of a joystick is 2^15.
                        Unit::Counts => *at / 327.68,
                    };
                }
                Some((time_us, row))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn take(live: &mut Live, text: &str) -> Took {
        live.take(Path::new("port"), text.as_bytes()).unwrap()
    }

    /// Given a quiet stick and a switch that never changes, when rows come in, then they are enough after 110 s, and
    /// not before; a stick that is moved is named.
    #[test]
    fn rows_are_enough_when_a_longer_rest_would_not_help() {
        let mut live = Live::default();
        assert_eq!(take(&mut live, "20,15"), Took::Nothing);
        assert_eq!(take(&mut live, "time_us,us:roll,us:gear"), Took::Header);
        let mut random = seeded::Random::stream(1, 1);
        for n in 0..5_600 {
            let at = 1500.0 + random.between(-3.0, 3.0).round();
            assert_eq!(take(&mut live, &format!("{},{at},1000", n * 20_000)), Took::Row);
            if n == 5_400 {
                assert!(!live.is_enough(&live.progress().unwrap()), "{}", live.lasted_s());
            }
        }
        let progress = live.progress().unwrap();
        assert!(live.is_enough(&progress) && !progress[1].changes, "{progress:?}");
        assert_eq!(live.touched(), [0_usize; 0]);
        assert_eq!(take(&mut live, "112000000,1560,1000"), Took::Row);
        assert_eq!(live.touched(), [0]);
        assert_eq!((take(&mut live, "113000000,15"), live.unread()), (Took::Nothing, 1));
    }

    #[test]
    fn sweeps_are_counted_from_side_to_side() {
        let path = [0.0, 90.0, -90.0, 0.0, -90.0, 90.0, 80.0, -80.0];
        assert_eq!(sweeps(&path), 3);
        assert_eq!(sweeps(&[0.0, 40.0, -40.0, 40.0]), 0);
    }
}
