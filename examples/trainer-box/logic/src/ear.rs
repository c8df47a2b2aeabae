//! Every channel of both trains as it comes, whatever the plan says: level and number of channels are found.

use handback::ppm::{Decoder, DecoderSetup, Edge, Fault, Level};
use handback::{Instant, Pulse};

/// The number of channels of the longest train.
pub const MOST_CHANNELS: usize = 16;

/// The fewest channels of a train.
const FEWEST: u8 = 4;

/// A train counts as found after this many frames in a row with the same number of channels. Own choice: a frame in
/// which a pulse was lost has another number.
const ALIKE: u8 = 3;

/// The format of a train.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Format {
    /// The level of the short pulses between channels.
    pub separators: Level,
    /// The number of channels, 4 to 16.
    pub channels: u8,
}

/// Finds the format of a train, whatever the plan says, and then reads the train: one decoder for each level counts
/// the channels, and a third has the format that was found.
#[derive(Clone, Debug)]
pub struct Ear {
    finders: [Finder; 2],
    found: Option<Format>,
    /// Reads the train that was found.
    decoder: Decoder<MOST_CHANNELS>,
}

/// Counts the channels of a train with separators of one level. With the other level no frame ends, so there is
/// nothing to count.
#[derive(Clone, Debug)]
struct Finder {
    decoder: Decoder<MOST_CHANNELS>,
    frames: u32,
    channels: u8,
    alike: u8,
}

fn decoder(separators: Level, channels: Option<u8>) -> Decoder<MOST_CHANNELS> {
    const PLAIN: [Decoder<MOST_CHANNELS>; 2] =
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

impl Default for Ear {
    fn default() -> Self {
        Self::new()
    }
}

impl Ear {
    /// An ear that has found nothing.
    pub fn new() -> Self {
        let finders = [Level::Low, Level::High].map(Finder::new);
        Self { finders, found: None, decoder: decoder(Level::High, None) }
    }

    /// Takes an edge on the line. Both edges of each pulse must come in order.
    pub fn edge(&mut self, edge: Edge) {
        self.finders.iter_mut().for_each(|finder| finder.decoder.edge(edge));
        self.decoder.edge(edge);
    }

    /// Takes note that edges were lost.
    pub fn overrun(&mut self) {
        self.finders.iter_mut().for_each(|finder| finder.decoder.overrun());
        self.decoder.overrun();
    }

    /// The format that was found.
    pub const fn found(&self) -> Option<Format> {
        self.found
    }

    /// Whether the format is another one now, and the train that came since the last poll.
    pub fn poll(&mut self, now: Instant) -> (bool, Option<[Pulse; MOST_CHANNELS]>) {
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
