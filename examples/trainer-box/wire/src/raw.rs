//! Every channel of both trains as it comes, whatever the plan says: level and number of channels are found.

use handback::ppm::{Decoder, DecoderSetup, Edge, Fault, Level};
use handback::{Instant, Pulse};

/// The channels of the longest train.
pub(crate) const MOST: usize = 16;

/// The fewest channels of a train.
const FEWEST: u8 = 4;

/// A train counts as found after this many frames in a row with the same number of channels. Own choice: a frame in
/// which a pulse was lost has another number.
const ALIKE: u8 = 3;

/// The format of a train.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Format {
    pub(crate) separators: Level,
    pub(crate) channels: u8,
}

/// Listens to one line.
#[derive(Clone, Debug)]
pub(crate) struct Ear {
    finders: [Finder; 2],
    found: Option<Format>,
    /// Reads the train that was found.
    decoder: Decoder<MOST>,
}

/// Counts the channels of a train with separators of one level. With the other level no frame ends, so there is
/// nothing to count.
#[derive(Clone, Debug)]
struct Finder {
    decoder: Decoder<MOST>,
    frames: u32,
    channels: u8,
    alike: u8,
}

fn decoder(separators: Level, channels: Option<u8>) -> Decoder<MOST> {
    const PLAIN: [Decoder<MOST>; 2] =
        [handback::checked!(DecoderSetup::new(Level::Low)), handback::checked!(DecoderSetup::new(Level::High))];
    let mut setup = DecoderSetup::new(separators);
    setup.channels = channels;
    let [low, high] = PLAIN;
    // Every number from 4 to 16 passes the check.
    setup.check().unwrap_or(if separators == Level::Low { low } else { high })
}

impl Finder {
    fn new(separators: Level) -> Self {
        Self { decoder: decoder(separators, None), frames: 0, channels: 0, alike: 0 }
    }

    /// The format, where enough frames were alike.
    fn poll(&mut self, now: Instant) -> Option<Format> {
        let _ = self.decoder.poll(now); // its frames are read by another decoder
        let tally = self.decoder.tally();
        let ended = [Fault::Count, Fault::Uneven].map(|fault| tally.of(fault));
        let frames = ended.into_iter().fold(tally.good, u32::wrapping_add);
        if frames != self.frames {
            self.frames = frames;
            self.alike = if tally.channels == self.channels { self.alike.saturating_add(1) } else { 1 };
            self.channels = tally.channels;
        }
        let steady = self.alike >= ALIKE && (FEWEST..=16).contains(&self.channels);
        steady.then_some(Format { separators: self.decoder.setup().separators, channels: self.channels })
    }
}

impl Ear {
    pub(crate) fn new() -> Self {
        let finders = [Level::Low, Level::High].map(Finder::new);
        Self { finders, found: None, decoder: decoder(Level::High, None) }
    }

    pub(crate) fn edge(&mut self, edge: Edge) {
        self.finders.iter_mut().for_each(|finder| finder.decoder.edge(edge));
        self.decoder.edge(edge);
    }

    pub(crate) fn overrun(&mut self) {
        self.finders.iter_mut().for_each(|finder| finder.decoder.overrun());
        self.decoder.overrun();
    }

    /// The format that was found.
    pub(crate) const fn found(&self) -> Option<Format> {
        self.found
    }

    /// Whether the format is another one now, and the train that came since the last poll.
    pub(crate) fn poll(&mut self, now: Instant) -> (bool, Option<[Pulse; MOST]>) {
        let [low, high] = &mut self.finders;
        let (low, high) = (low.poll(now), high.poll(now));
        // A line that was turned over leaves the old finder where it was: the one that heard something new counts.
        let other = [low, high].into_iter().flatten().find(|&format| Some(format) != self.found);
        if let Some(format) = other {
            self.found = Some(format);
            self.decoder = decoder(format.separators, Some(format.channels));
            self.finders = [Level::Low, Level::High].map(Finder::new);
            return (true, None);
        }
        (false, self.found.and_then(|_| self.decoder.poll(now)))
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::vec::Vec;

    use handback::ppm::{Encoder, EncoderSetup};

    use super::*;

    /// Sends this many frames of a train into an ear; the formats that it found, and the trains that it read.
    fn heard(ear: &mut Ear, format: Format, start: u32, frames: u32) -> (Vec<Format>, Vec<Vec<u16>>) {
        let mut setup = EncoderSetup::new(format.separators);
        setup.channels = Some(format.channels);
        setup.frame_length = handback::Duration::from_micros(42_000);
        let mut encoder: Encoder<MOST> = setup.check().expect("in order");
        let mut channel = 0;
        let widths = [0; MOST].map(|_| {
            channel += 17;
            Pulse::from_micros(1_000 + channel)
        });
        assert!(encoder.start(Instant::from_ticks(start), &widths).is_empty());
        let (mut found, mut trains) = (Vec::new(), Vec::new());
        let mut next = encoder.next_edge();
        for now in (start..start + frames * 42_000).step_by(1_000) {
            while let Some(edge) = next.filter(|edge| edge.at.as_ticks() <= now) {
                ear.edge(edge);
                next = encoder.next_edge();
            }
            let (changed, train) = ear.poll(Instant::from_ticks(now));
            if changed {
                found.extend(ear.found());
            }
            let count = usize::from(format.channels);
            trains.extend(train.map(|train| train[..count].iter().map(|width| width.to_micros()).collect::<Vec<_>>()));
        }
        (found, trains)
    }

    /// Given trains of every number of channels and of both levels on one line after another, when they come, then each
    /// is found and read as it was sent, and nothing else is found.
    #[test]
    fn level_and_number_of_channels_are_found() {
        let mut ear = Ear::new();
        let mut start = 1_000;
        for separators in [Level::High, Level::Low] {
            for channels in 4..=16 {
                let format = Format { separators, channels };
                let (found, trains) = heard(&mut ear, format, start, 12);
                assert_eq!(found, [format]);
                assert!((5..12).contains(&trains.len()), "{}", trains.len());
                let sent: Vec<u16> = (1..=u16::from(channels)).map(|channel| 1_000 + channel * 17).collect();
                assert!(trains.iter().all(|train| *train == sent), "{trains:?}");
                start += 12 * 42_000 + 100_000;
            }
        }
    }

    /// Given a line without edges, when time passes, then nothing is found.
    #[test]
    fn a_silent_line_has_no_format() {
        let mut ear = Ear::new();
        for now in (0..1_000_000).step_by(1_000) {
            assert_eq!(ear.poll(Instant::from_ticks(now)), (false, None));
        }
        assert_eq!(ear.found(), None);
    }
}
