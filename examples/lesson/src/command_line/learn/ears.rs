//! The trains of both transmitters, frame by frame, from the raw trace of a box.

use std::time::{Duration, Instant};

use handback::Pulse;
use handback::ppm::Level;

use crate::command_line::port::{Came, Port};
use crate::error::Fault;
use crate::policy::MOST_CHANNELS;
use crate::table::Titles;
use crate::trace::RawHeader;

/// How long a box may say nothing.
const SILENCE: Duration = Duration::from_secs(10);
/// Rows within which both trains must be found: a minute at most.
const PATIENCE: usize = 20_000;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Who {
    Instructor,
    Student,
}

impl Who {
    pub(super) fn index(self) -> usize {
        usize::from(self == Self::Student)
    }

    pub(super) fn name(self) -> &'static str {
        if self == Self::Instructor { "instructor" } else { "student" }
    }
}

/// A train as the box found it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Train {
    pub(super) separators: Level,
    pub(super) channels: u8,
}

impl Train {
    pub(super) fn word(self) -> &'static str {
        if self.separators == Level::High { "high" } else { "low" }
    }
}

/// Listens to a box.
pub(super) struct Ears {
    port: Port,
    header: Option<RawHeader>,
    trains: [Option<Train>; 2],
    last_us: Option<u64>,
    /// The first and the last frame of each side, and their number.
    times: [Option<(u64, u64, u64)>; 2],
}

impl Ears {
    pub(super) fn new(mut port: Port) -> Result<Self, Fault> {
        port.send("raw")?;
        Ok(Self { port, header: None, trains: [None; 2], last_us: None, times: [None; 2] })
    }

    pub(super) fn fault(&self, found: impl Into<String>, remedy: &str) -> Fault {
        Fault::new(self.port.path(), found, format!("{remedy}; nothing was written"))
    }

    /// Waits for both trains.
    pub(super) fn find_trains(&mut self) -> Result<(), Fault> {
        for _ in 0..PATIENCE {
            self.row()?;
            if self.trains.iter().all(Option::is_some) {
                return Ok(());
            }
        }
        let missing = if self.trains[0].is_none() { Who::Instructor } else { Who::Student };
        let found = format!("the {}'s train was not found", missing.name());
        Err(self.fault(found, "switch the transmitter on, and check its cable"))
    }

    pub(super) fn train(&self, who: Who) -> Result<Train, Fault> {
        let train = self.trains[who.index()];
        train.ok_or_else(|| self.fault(format!("the {}'s train was not found", who.name()), "check its cable"))
    }

    /// The next frame of this side.
    pub(super) fn frame(&mut self, who: Who) -> Result<[Pulse; MOST_CHANNELS], Fault> {
        loop {
            if let Some(train) = self.row()?[who.index()] {
                return Ok(train);
            }
        }
    }

    /// The mean of every channel over so many frames.
    pub(super) fn place(&mut self, who: Who, frames: usize) -> Result<Vec<Pulse>, Fault> {
        let channels = usize::from(self.train(who)?.channels);
        let mut sums = vec![0_u32; channels];
        for _ in 0..frames {
            let train = self.frame(who)?;
            sums.iter_mut().zip(train).for_each(|(sum, width)| *sum += u32::from(width.to_bits()));
        }
        let frames = u32::try_from(frames).unwrap_or(1).max(1);
        Ok(sums.into_iter().map(|sum| Pulse::from_bits(u16::try_from(sum / frames).unwrap_or(u16::MAX))).collect())
    }

    /// Waits until this channel is back at its place.
    pub(super) fn await_back(
        &mut self,
        who: Who,
        channel: usize,
        place: Pulse,
        near: u16,
        patience: usize,
    ) -> Result<(), Fault> {
        let mut back = 0;
        for _ in 0..patience {
            let is_near = self.frame(who)?[channel].to_bits().abs_diff(place.to_bits()) < near;
            back = if is_near { back + 1 } else { 0 };
            if back > 10 {
                return Ok(());
            }
        }
        Err(self.fault(format!("channel {channel} did not come back to the middle"), "begin again"))
    }

    /// The mean time from frame to frame of this side.
    pub(super) fn frame_length(&self, who: Who) -> handback::Duration {
        let us = self.times[who.index()].map_or(20_000, |(first, last, frames)| (last - first) / frames.max(1));
        handback::Duration::from_ticks(u32::try_from(us).unwrap_or(20_000).max(1_000))
    }

    /// The trains of the next row.
    fn row(&mut self) -> Result<[Option<[Pulse; MOST_CHANNELS]>; 2], Fault> {
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
                for (times, train) in self.times.iter_mut().zip(&row.trains) {
                    if train.is_some() {
                        let (first, _, frames) = times.unwrap_or((row.time_us, row.time_us, 0));
                        *times = Some((first, row.time_us, frames + u64::from(first != row.time_us)));
                    }
                }
                return Ok(row.trains);
            }
        }
    }

    /// Takes in what the box says of a train.
    fn note(&mut self, line: &str) -> Result<(), Fault> {
        if let Some(why) = line.strip_prefix("# refused: ") {
            return Err(self.fault(format!("the box refused: {why}"), "is its firmware too old"));
        }
        let Some(words) = line.strip_prefix("# train ") else { return Ok(()) };
        let train = match words.split(' ').collect::<Vec<_>>()[..] {
            [side @ ("instructor" | "student"), level @ ("high" | "low"), channels] => {
                let separators = if level == "high" { Level::High } else { Level::Low };
                let channels = channels.parse().ok().filter(|channels| (4..=16).contains(channels));
                channels.map(|channels| (usize::from(side == "student"), Train { separators, channels }))
            }
            _ => None,
        };
        let Some((side, train)) = train else {
            return Err(self.fault(format!("does not say what a train is: {line}"), "is this a trainer box?"));
        };
        if self.trains[side].is_some_and(|before| before != train) {
            let who = if side == 0 { "instructor" } else { "student" };
            return Err(
                self.fault(format!("the {who}'s train became another one"), "check plug and cable, and begin again")
            );
        }
        self.trains[side] = Some(train);
        Ok(())
    }
}
