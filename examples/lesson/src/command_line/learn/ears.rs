//! The trains of both transmitters, frame by frame, from the raw trace of a box.

use std::time::{Duration, Instant};

use handback::Pulse;
use handback::ppm::Level;
use trainer_box::{Format, Side};

use super::words::name;
use crate::command_line::port::{Came, Port};
use crate::error::Fault;
use crate::policy::MOST_CHANNELS;
use crate::table::Titles;
use crate::trace::RawHeader;

/// How long a box may say nothing.
const SILENCE: Duration = Duration::from_secs(10);
/// Rows within which both trains must be found: a minute at most.
const PATIENCE: usize = 20_000;

/// The trains of a row, the instructor's first.
type Trains = [Option<[Pulse; MOST_CHANNELS]>; 2];

/// Listens to a box.
pub(super) struct Ears {
    port: Port,
    header: Option<RawHeader>,
    formats: [Option<Format>; 2],
    last_us: Option<u64>,
}

impl Ears {
    pub(super) fn new(mut port: Port) -> Result<Self, Fault> {
        port.send("raw")?;
        Ok(Self { port, header: None, formats: [None; 2], last_us: None })
    }

    pub(super) fn fault(&self, found: impl Into<String>, remedy: &str) -> Fault {
        Fault::new(self.port.path(), found, format!("{remedy}; nothing was written"))
    }

    /// The fault in words that have their remedy.
    pub(super) fn told(&self, why: &str) -> Fault {
        Fault::told(self.port.path(), why)
    }

    /// Waits for both trains.
    pub(super) fn find_trains(&mut self) -> Result<(), Fault> {
        for _ in 0..PATIENCE {
            self.row()?;
            if self.formats.iter().all(Option::is_some) {
                return Ok(());
            }
        }
        let missing = if self.formats[0].is_none() { Side::Instructor } else { Side::Student };
        let found = format!("the {}'s train was not found", name(missing));
        Err(self.fault(found, "switch the transmitter on, and check its cable"))
    }

    pub(super) fn format(&self, side: Side) -> Result<Format, Fault> {
        let format = self.formats[usize::from(side == Side::Student)];
        format.ok_or_else(|| self.fault(format!("the {}'s train was not found", name(side)), "check its cable"))
    }

    /// The time and the trains of the next row.
    pub(super) fn row(&mut self) -> Result<(handback::Instant, Trains), Fault> {
        let since = Instant::now();
        loop {
            let line = match self.port.next(Duration::from_millis(100))? {
                Came::Line(line) => line,
                Came::End => return Err(self.fault("ended before everything was learnt", "begin again")),
                Came::Nothing if since.elapsed() > SILENCE => {
                    return Err(self.fault("says nothing", "check the cable and the port, and begin again"));
                }
                Came::Nothing => continue,
            };
            if line.starts_with(b"#") {
                self.note(&String::from_utf8_lossy(&line))?;
            } else if line.starts_with(b"time_us,") {
                let titles = Titles::read(self.port.path(), &line, 1, "time_us")?;
                self.header = Some(RawHeader::of(&titles)?);
            } else if let Some(header) = &self.header
                && let Ok(row) = header.row(&line, self.last_us)
            {
                self.last_us = Some(row.time_us);
                #[allow(clippy::cast_possible_truncation)] // the clock of a box wraps too
                let now = handback::Instant::from_ticks(row.time_us as u32);
                return Ok((now, row.trains));
            }
        }
    }

    /// Takes in what the box says of a train.
    fn note(&mut self, line: &str) -> Result<(), Fault> {
        if let Some(why) = line.strip_prefix("# refused: ") {
            return Err(self.fault(format!("the box refused: {why}"), "is its firmware too old"));
        }
        let Some(words) = line.strip_prefix("# train ") else { return Ok(()) };
        let format = match words.split(' ').collect::<Vec<_>>()[..] {
            [side @ ("instructor" | "student"), level @ ("high" | "low"), channels] => {
                let separators = if level == "high" { Level::High } else { Level::Low };
                let channels = channels.parse().ok().filter(|channels| (4..=16).contains(channels));
                channels.map(|channels| (usize::from(side == "student"), Format { separators, channels }))
            }
            _ => None,
        };
        let Some((side, format)) = format else {
            return Err(self.fault(format!("does not say what a train is: {line}"), "is this a trainer box?"));
        };
        if self.formats[side].is_some_and(|before| before != format) {
            let who = if side == 0 { "instructor" } else { "student" };
            return Err(
                self.fault(format!("the {who}'s train became another one"), "check plug and cable, and begin again")
            );
        }
        self.formats[side] = Some(format);
        Ok(())
    }
}
