//! Edges in, good frames out or nothing.

use crate::clock::Instant;
use crate::reading::Pulse;

use super::decoder_setup::DecoderSetup;
use super::tally::{Fault, Tally};
use super::{Edge, between};

/// No train has more channels than this.
const MOST_CHANNELS: u8 = 16;

/// Reads a train of exactly `N` channels, 4 to 16.
///
/// # Edges
/// It is given **both** edges of every separator, each with the level that follows. With one edge a channel, one lost
/// and one added in the same frame would shift channels unseen; with both, a lost or an added edge shows at once (two
/// in a row to the same level), a glitch is too short for a separator, and a moved edge makes its separator uneven. A
/// pin interrupt reads the pin and passes on what it reads; a capture unit that takes one polarity at a time is turned
/// round in its interrupt. Where hardware tells of edges that it lost, say so with [`overrun`](Self::overrun).
///
/// # Frames
/// They come out of [`poll`](Self::poll) and nowhere else, so that nobody forgets to poll: only a poll notices that a
/// line fell silent. A frame begins and ends with a gap. It is complete as soon as the line has rested for `gap` after
/// its last separator, or at the next frame's first edge where nobody polled before. Earlier it could be longer than it
/// looks: an added pulse can split one channel into two. So a frame of eight centred channels comes out 14.8 ms after
/// its start (12 ms of channels, the separator, 2.5 ms of `gap`) and up to a poll's interval; poll each millisecond or
/// so. After a start, a silence or a fault the decoder looks for a gap first.
///
/// # Number of channels
/// Fixed by `N`, not learnt: a count learnt while the plug was half in would put every stick on another axis. A frame
/// of `N` channels is good only where the frame counted before it had `N` too, so that a lost separator does not make
/// eight channels of nine. (The first frame after a start or a silence only confirms, and is counted nowhere.) A
/// transmitter that sends another number yields nothing but [`Fault::Count`], and [`Tally::channels`] says the number.
///
/// # What it promises
/// However many of the edges of a train of `N` channels are lost, or one or two are added, no frame comes out but those
/// that were sent. An edge that moved, or was lost here and added there, can falsify two neighbouring channels by at
/// most `jitter`. What no receiver can know of: a whole separator that moved, or one lost and another of its width
/// added.
///
/// No call divides, loops or uses numbers of 64 bits.
///
/// ```
/// use handback::ppm::{Decoder, DecoderSetup, Level};
/// const STUDENT: Decoder<8> = handback::checked!(DecoderSetup::new(Level::High));
/// ```
///
/// A count that no train has does not compile, nor does a set-up that takes a channel for a gap:
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
    /// The edge before; `None` where time since then means nothing: at the start, after a silence, after an overrun.
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

/// Where in a train the last edge was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Progress {
    /// Nobody knows: looking for a gap.
    Lost,
    /// In a frame, all of it good so far.
    Counting,
    /// In the gap behind a frame that a poll found to be over.
    Over,
}

/// A good frame that waits to be read.
#[derive(Clone, Copy, Debug)]
struct Ready<const N: usize> {
    at: Instant,
    widths: [Pulse; N],
}

impl<const N: usize> Decoder<N> {
    /// A decoder that has seen nothing yet; its set-up passed the check.
    pub(super) const fn of(setup: DecoderSetup) -> Self {
        const { assert!(N >= 4 && N <= MOST_CHANNELS as usize, "a train has 4 to 16 channels") };
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

    /// What was seen since it was built.
    pub const fn tally(&self) -> &Tally {
        &self.tally
    }

    /// The line changed its level. Edges come in the order in which they happened.
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

    /// The hardware lost edges, nobody knows how many: a capture was overwritten, a queue was full.
    pub fn overrun(&mut self) {
        self.tally.note(Fault::Overrun);
        self.last = None;
        self.lose();
    }

    /// The last good frame, once; `None` where there is no new one.
    ///
    /// `now` is read **before** the edges that happened until then are given: with a queue, read the clock, empty the
    /// queue, poll. An edge that turns up later than a poll that found the line at rest drops the frame that it belongs
    /// to ([`Fault::LateEdge`]), but it may have been an edge of the frame that the poll yielded. Where edges come from
    /// an interrupt, poll with that interrupt masked: what it is late by is less than the margin of `gap`.
    ///
    /// A frame that was complete longer than `silence` ago is not yielded.
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
            // An edge that happened after the clock was read.
        } else if rested > self.setup.silence.as_ticks() {
            self.last = None;
            self.fall_silent();
        } else if self.progress == Progress::Counting && last.level != self.setup.separators && self.is_gap(rested) {
            self.finish(now);
        }
    }

    /// Whether `now` is later than an edge that came at most `silence` too early for it.
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
            // A separator of no frame.
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
        // Past the last channel only the count goes on, to say how many there are.
        if let Some(channel) = self.widths.get_mut(usize::from(self.channels)) {
            *channel = Pulse::from_micros(width);
        }
        self.count_channel();
    }

    fn count_channel(&mut self) {
        self.channels = self.channels.saturating_add(1);
        if self.channels > MOST_CHANNELS {
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

    /// A gap began: the frame is whole, or never will be.
    fn finish(&mut self, at: Instant) {
        self.progress = Progress::Over;
        self.tally.channels = self.channels;
        let before = core::mem::replace(&mut self.confirmed, self.channels);
        if usize::from(self.channels) != N {
            self.tally.note(Fault::Count);
        } else if before == 0 {
            // It only confirms.
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

    /// What was counted is no frame.
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
