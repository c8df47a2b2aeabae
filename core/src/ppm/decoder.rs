//! Decodes edges into good frames.

use crate::quantity::{Instant, Pulse};

use super::count::{self, MOST};
use super::decoder_setup::DecoderSetup;
use super::error::PpmError;
use super::tally::{Fault, Tally};
use super::{Edge, between};

/// Reads a train of exactly [`channels`](Self::channels) channels, with room for `N`, 4 to 16.
///
/// # Edges
/// Give it **both** edges of every separator, each with the level that follows. With one edge per channel, one lost
/// edge and one added edge in the same frame would shift channels without a trace. With both edges, a lost or an added
/// edge shows at once, as two edges in a row to the same level. A glitch is too short for a separator, and a moved edge
/// makes its separator uneven. In a pin interrupt, read the pin and pass on its level. With a capture unit that takes
/// one polarity at a time, change the polarity in its interrupt. If the hardware reports that it lost edges, call
/// [`overrun`](Self::overrun).
///
/// # Frames
/// Frames come out of [`poll`](Self::poll) alone, since only a poll notices that a line fell silent. A frame begins and
/// ends with a gap. It is complete as soon as the line has rested for `gap` after its last separator, or at the first
/// edge of the next frame if there was no poll before. Until then, the frame may be longer than it looks: an added
/// pulse can split one channel into two. A frame of eight centred channels therefore comes out 14.8 ms after its start
/// (12 ms of channels, the separator, 2.5 ms of `gap`), plus up to the interval between polls. Poll about every
/// millisecond. After a start, a silence or a fault, the decoder first looks for a gap.
///
/// # Number of channels
/// The number is set ([`DecoderSetup::channels`]) and not learnt: a number learnt while the plug was half in would put
/// every stick on another axis. A frame of that number is good only if the frame counted before it had that number too,
/// so that a lost separator does not turn nine channels into eight. (The first frame after a start or a silence only
/// confirms the number, and is not counted.) A transmitter that sends another number yields only [`Fault::Count`], and
/// [`Tally::channels`] is that number.
///
/// Of the `N` channels of a frame, those beyond the number of the train are [`Pulse::MIN`]. No set-up of a
/// [`Channel`](crate::Channel) accepts this pulse, so an axis on such a channel is out of range and makes the frame bad.
///
/// # What it promises
/// If any number of the edges of a train is lost, or one or two are added, only frames that were sent
/// come out. An edge that moved, or was lost in one place and added in another, can change two neighbouring channels by
/// at most `jitter`. No receiver can detect a whole separator that moved, or a separator that was lost while another of
/// its width was added.
///
/// No call divides, loops or uses 64-bit numbers.
///
/// ```
/// use handback::ppm::{Decoder, DecoderSetup, Level};
/// const STUDENT: Decoder<8> = handback::checked!(DecoderSetup::new(Level::High));
/// ```
///
/// A number of channels that no train has does not compile, nor does a set-up in which a channel could count as a gap:
///
/// ```compile_fail,E0080
/// use handback::ppm::{Decoder, DecoderSetup, Level};
/// const STUDENT: Decoder<17> = handback::checked!(DecoderSetup::new(Level::High));
/// ```
///
/// ```compile_fail,E0080
/// use handback::Duration;
/// use handback::ppm::{Decoder, DecoderSetup, Level};
/// const STUDENT: Decoder<8> = handback::checked!({
///     let mut setup = DecoderSetup::new(Level::High);
///     setup.gap = Duration::from_micros(2_000);
///     setup
/// });
/// ```
#[derive(Clone, Debug)]
pub struct Decoder<const N: usize> {
    setup: DecoderSetup,
    /// The edge before; `None` where the time since then has no meaning: at the start, after a silence, after an
    /// overrun.
    last: Option<Edge>,
    progress: Progress,
    /// Channels in a row without a gap.
    channels: u8,
    /// Channels of the last frame from gap to gap; 0 where there was none since the start or a silence.
    confirmed: u8,
    /// The start of the last separator of the frame being counted.
    began: Instant,
    widths: [Pulse; N],
    /// The narrowest and the widest separator of the frame being counted.
    narrowest: u32,
    widest: u32,
    ready: Option<Ready<N>>,
    tally: Tally,
}

/// Position of the last edge in a train.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Progress {
    /// Unknown: the decoder looks for a gap.
    Lost,
    /// In a frame that is good so far.
    Counting,
    /// In the gap after a frame that a poll found complete.
    Over,
}

/// A good frame that waits to be read.
#[derive(Clone, Copy, Debug)]
struct Ready<const N: usize> {
    at: Instant,
    widths: [Pulse; N],
}

impl DecoderSetup {
    /// Checks the set-up and makes a decoder with room for `N` channels, 4 to 16; in `const` too. Another `N` does not
    /// compile.
    ///
    /// # Errors
    /// The first field that is wrong, with its value.
    pub const fn check<const N: usize>(self) -> Result<Decoder<N>, PpmError> {
        match self.check_fields(count::room::<N>()) {
            Ok(()) => Ok(Decoder::of(self)),
            Err(why) => Err(why),
        }
    }
}

impl<const N: usize> Decoder<N> {
    /// A decoder without edges; its set-up passed the check.
    const fn of(setup: DecoderSetup) -> Self {
        Self {
            setup,
            last: None,
            progress: Progress::Lost,
            channels: 0,
            confirmed: 0,
            began: Instant::from_ticks(0),
            widths: [Pulse::MIN; N],
            narrowest: u32::MAX,
            widest: 0,
            ready: None,
            tally: Tally::NONE,
        }
    }

    /// Its set-up.
    pub const fn setup(&self) -> &DecoderSetup {
        &self.setup
    }

    /// The number of channels of its train: [`DecoderSetup::channels`], or `N`.
    pub const fn channels(&self) -> u8 {
        count::channels(self.setup.channels, count::room::<N>())
    }

    /// Counts of frames and faults since it was built.
    pub const fn tally(&self) -> &Tally {
        &self.tally
    }

    /// Takes in a change of the line's level. Give edges in the order in which they happened.
    pub fn edge(&mut self, edge: Edge) {
        let Some(last) = self.last.replace(edge) else { return };
        let since = between(last.at, edge.at);
        if since > self.setup.silence.as_ticks() {
            self.fall_silent();
        } else if edge.level == last.level {
            self.fail(Fault::LostEdge);
        } else if edge.level == self.setup.separators {
            self.separator_begins(edge.at, since);
        } else {
            self.separator_ends(since);
        }
    }

    /// Reports that the hardware lost an unknown number of edges: a capture was overwritten, or a queue was full.
    pub fn overrun(&mut self) {
        self.tally.note(Fault::Overrun);
        self.last = None;
        self.lose();
    }

    /// The last good frame, once; `None` where there is no new one.
    ///
    /// Read `now` **before** you give the edges that happened until then: with a queue, read the clock, empty the
    /// queue, poll. An edge that is given later than a poll that found the line at rest drops the frame that it belongs
    /// to ([`Fault::LateEdge`]). But it may have been an edge of the frame that the poll yielded. Where edges come from
    /// an interrupt, poll with that interrupt masked: this delays the interrupt by less than the margin of `gap`.
    ///
    /// A frame that was completed longer than `silence` ago is not yielded.
    #[must_use = "each frame comes out once"]
    pub fn poll(&mut self, now: Instant) -> Option<[Pulse; N]> {
        if let Some(last) = self.last {
            self.rest(last, now);
        }
        let ready = self.ready.take()?;
        if between(ready.at, now) > self.setup.silence.as_ticks() && self.is_after(ready.at, now) {
            self.tally.note_unread();
            return None;
        }
        Some(ready.widths)
    }

    /// The line has not changed its level until `now`.
    fn rest(&mut self, last: Edge, now: Instant) {
        let rested = between(last.at, now);
        if !self.is_after(last.at, now) {
            // The edge happened after the clock was read.
        } else if rested > self.setup.silence.as_ticks() {
            self.last = None;
            self.fall_silent();
        } else if self.progress == Progress::Counting && last.level != self.setup.separators && self.is_gap(rested) {
            self.finish(now);
        }
    }

    /// Whether `now` is after the edge. An edge up to `silence` after `now` happened after the clock was read.
    const fn is_after(&self, edge: Instant, now: Instant) -> bool {
        between(now, edge) > self.setup.silence.as_ticks()
    }

    const fn is_gap(&self, rested: u32) -> bool {
        rested >= self.setup.gap.as_ticks()
    }

    fn separator_begins(&mut self, at: Instant, rested: u32) {
        let gap = self.is_gap(rested);
        match self.progress {
            Progress::Counting if gap => {
                self.finish(at);
                self.begin(at);
            }
            Progress::Lost | Progress::Over if gap => self.begin(at),
            Progress::Over => self.fail(Fault::LateEdge),
            Progress::Counting => self.channel(at),
            Progress::Lost => self.count_channel(),
        }
    }

    fn separator_ends(&mut self, width: u32) {
        if self.is_gap(width) {
            self.tally.note(Fault::Polarity);
            self.lose();
        } else if self.progress != Progress::Counting {
            // The separator belongs to no frame.
        } else if width < self.setup.narrowest.as_ticks() {
            self.fail(Fault::Glitch);
        } else if width > self.setup.widest.as_ticks() {
            self.fail(Fault::WideSeparator);
        } else {
            self.narrowest = self.narrowest.min(width);
            self.widest = self.widest.max(width);
        }
    }

    fn channel(&mut self, at: Instant) {
        let width = between(self.began, at);
        self.began = at;
        if width < u32::from(self.setup.shortest.to_micros()) || width > u32::from(self.setup.longest.to_micros()) {
            self.fail(Fault::Width);
            return;
        }
        // After the last channel only the count continues, to tell the number of channels.
        if self.channels < self.channels()
            && let Some(channel) = self.widths.get_mut(usize::from(self.channels))
        {
            *channel = Pulse::from_micros(width);
        }
        self.count_channel();
    }

    fn count_channel(&mut self) {
        self.channels = self.channels.saturating_add(1);
        if self.channels > MOST {
            self.tally.note(Fault::NoGap);
            self.lose();
        }
    }

    /// A gap ended: this is a frame's first edge.
    const fn begin(&mut self, at: Instant) {
        self.progress = Progress::Counting;
        self.channels = 0;
        self.began = at;
        self.narrowest = u32::MAX;
        self.widest = 0;
    }

    /// A gap began: the frame is complete, or is dropped.
    fn finish(&mut self, at: Instant) {
        self.progress = Progress::Over;
        self.tally.channels = self.channels;
        let before = core::mem::replace(&mut self.confirmed, self.channels);
        if self.channels != self.channels() {
            self.tally.note(Fault::Count);
        } else if before == 0 {
            // The frame only confirms the number of channels.
        } else if before != self.channels {
            self.tally.note(Fault::Count);
        } else if self.widest.saturating_sub(self.narrowest) > self.setup.jitter.as_ticks() {
            self.tally.note(Fault::Uneven);
        } else {
            self.tally.note_good();
            if self.ready.replace(Ready { at, widths: self.widths }).is_some() {
                self.tally.note_unread();
            }
        }
    }

    /// Drops the frame that was being counted.
    fn fail(&mut self, fault: Fault) {
        if self.progress != Progress::Lost {
            self.tally.note(fault);
        }
        self.lose();
    }

    fn fall_silent(&mut self) {
        self.tally.note(Fault::Silence);
        self.confirmed = 0;
        self.lose();
    }

    const fn lose(&mut self) {
        self.progress = Progress::Lost;
        self.channels = 0;
    }
}
