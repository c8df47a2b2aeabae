//! Encodes frames into edges; every frame has the same length.

use crate::quantity::{AxisSet, Duration, Instant, Pulse};

use super::decoder_setup::check_widths;
use super::error::{Field, PpmError};
use super::{Edge, Level, after, between, count};

/// What an encoder sends: plain data, made by [`new`](Self::new). Assign the fields that differ, then
/// [`check`](Self::check) makes the encoder.
///
/// ```
/// use handback::Duration;
/// use handback::ppm::{EncoderSetup, Level};
/// let mut long = EncoderSetup::new(Level::Low);
/// long.frame_length = Duration::from_millis(40);
/// assert!(long.check::<16>().is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct EncoderSetup {
    /// The level of the line during a separator.
    pub separators: Level,
    /// The number of channels of the train: 4 or more, and at most the `N` for which the encoder has room. Default
    /// `None`: `N`. Of a frame of `N` channels the first ones are sent.
    pub channels: Option<u8>,
    /// The width of a separator; not 0, and less than `shortest`. Default 300 us.
    pub separator: Duration,
    /// The smallest width of a channel, to the nearest microsecond. Default 750 us, -150 points.
    pub shortest: Pulse,
    /// The largest width of a channel, to the nearest microsecond; `shortest` or more. Default 2250 us, 150 points.
    pub longest: Pulse,
    /// The line rests at least this long between two frames; more than `longest`. Default 3 ms.
    pub gap: Duration,
    /// The time from the start of a frame to the start of the next, which never changes. It must hold all channels at
    /// their longest, a separator and the gap. Default 22.5 ms, which is enough for eight channels.
    pub frame_length: Duration,
}

impl EncoderSetup {
    /// A train with separators of this level, and the default of everything else.
    pub const fn new(separators: Level) -> Self {
        Self {
            separators,
            channels: None,
            separator: Duration::from_ticks(300),
            shortest: Pulse::from_micros(750),
            longest: Pulse::from_micros(2_250),
            gap: Duration::from_ticks(3_000),
            frame_length: Duration::from_ticks(22_500),
        }
    }

    /// Checks the set-up and makes the encoder of it, with room for `N` channels, 4 to 16; in `const` too. Another `N`
    /// does not compile.
    ///
    /// # Errors
    /// The first field that is wrong, with its value.
    pub const fn check<const N: usize>(self) -> Result<Encoder<N>, PpmError> {
        match self.check_fields(count::room::<N>()) {
            Ok(()) => Ok(Encoder::of(self)),
            Err(why) => Err(why),
        }
    }

    const fn check_fields(&self, room: u8) -> Result<(), PpmError> {
        if let Err(why) = count::check(self.channels, room) {
            return Err(why);
        }
        if self.separator.is_zero() {
            return Err(PpmError::Zero { field: Field::Separator });
        }
        if let Err(why) = check_widths(Field::Separator, self.separator, self.shortest, self.longest, self.gap) {
            return Err(why);
        }
        let channels = count::channels(self.channels, room);
        // At most 16 * 2^12 us.
        let all = (self.longest.to_micros() as u32).saturating_mul(channels as u32);
        let rest = self.separator.as_ticks().saturating_add(self.gap.as_ticks());
        if self.frame_length.as_ticks().saturating_sub(rest) < all {
            let needed = Duration::from_ticks(all.saturating_add(rest));
            return Err(PpmError::FrameLength { frame_length: self.frame_length, channels, needed });
        }
        Ok(())
    }
}

/// Sends a train of [`channels`](Self::channels) channels, with room for `N`, 4 to 16.
///
/// In the interrupt of a timer, get the [`next_edge`](Self::next_edge), set the compare register to its instant and the
/// pin to its level, and do the same again when the timer fires. Instants are absolute and follow from the start alone,
/// so delays of interrupts do not add up. An interrupt that comes after the instant of its edge sets the pin at once.
/// An edge costs two additions: no call divides or uses 64-bit numbers.
///
/// ```
/// use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
/// use handback::{Instant, Pulse};
/// const TO_THE_CRAFT: Encoder<4> = handback::checked!(EncoderSetup::new(Level::High));
/// let mut encoder = TO_THE_CRAFT;
/// assert_eq!(encoder.next_edge(), None);
/// let _ = encoder.start(Instant::from_ticks(5_000), &[1500, 1500, 1000, 1500].map(Pulse::from_micros));
/// assert_eq!(encoder.next_edge(), Some(Edge { at: Instant::from_ticks(5_000), level: Level::High }));
/// assert_eq!(encoder.next_edge(), Some(Edge { at: Instant::from_ticks(5_300), level: Level::Low }));
/// assert_eq!(encoder.next_edge(), Some(Edge { at: Instant::from_ticks(6_500), level: Level::High }));
/// ```
///
/// A set-up whose longest frame does not fit does not compile:
///
/// ```compile_fail,E0080
/// use handback::ppm::{Encoder, EncoderSetup, Level};
/// const TO_THE_CRAFT: Encoder<12> = handback::checked!(EncoderSetup::new(Level::High));
/// ```
#[derive(Clone, Debug)]
pub struct Encoder<const N: usize> {
    setup: EncoderSetup,
    /// Whether a train was sent before.
    has_sent: bool,
    /// Whether another frame follows the one being sent.
    on: bool,
    /// The start of the frame being sent. Before the first edge of a train it is one frame earlier than the start of
    /// the train.
    frame: Instant,
    /// The start of the last separator.
    separator: Instant,
    position: Position,
    /// Widths in microseconds, within the limits: of the frame being sent, and of the one after it.
    sending: [u16; N],
    waiting: [u16; N],
}

/// Which edge comes next.
#[derive(Clone, Copy, Debug)]
enum Position {
    /// The first edge of a frame, if another frame follows.
    Frame,
    /// The end of the separator before this channel; after the last channel, of the separator that ends the frame.
    SeparatorEnds(u8),
    /// The end of this channel.
    ChannelEnds(u8),
}

impl<const N: usize> Encoder<N> {
    /// An encoder that does not send yet; its set-up passed the check.
    const fn of(setup: EncoderSetup) -> Self {
        let least = [setup.shortest.to_micros(); N];
        let never = Instant::from_ticks(0);
        let position = Position::Frame;
        Self {
            setup,
            has_sent: false,
            on: false,
            frame: never,
            separator: never,
            position,
            sending: least,
            waiting: least,
        }
    }

    /// Its set-up.
    pub const fn setup(&self) -> &EncoderSetup {
        &self.setup
    }

    /// The number of channels of its train: [`EncoderSetup::channels`], or `N`.
    pub const fn channels(&self) -> u8 {
        count::channels(self.setup.channels, count::room::<N>())
    }

    /// Begins a train at this instant with this frame, which it passes to [`send`](Self::send). Then ask for the
    /// [`next_edge`](Self::next_edge), if no edge is pending.
    ///
    /// Give an instant a little ahead, 500 us for example: an edge whose instant has passed is late, and makes its
    /// channel shorter. The first train begins at that instant; a later one waits until the line has rested for the gap
    /// after the train before. If a train still runs, even one that was stopped and has not ended yet, it continues at
    /// its own times.
    pub fn start(&mut self, at: Instant, widths: &[Pulse; N]) -> AxisSet {
        if !self.on && matches!(self.position, Position::Frame) {
            let begins = self.rested(at);
            self.frame = after(begins, self.setup.frame_length.as_ticks().wrapping_neg());
        }
        self.on = true;
        self.send(widths)
    }

    /// This instant, or the end of the gap after the train before, if that is later.
    fn rested(&self, at: Instant) -> Instant {
        let rest = self.setup.separator.as_ticks().saturating_add(self.setup.gap.as_ticks());
        let ends = after(self.separator, rest);
        // More than a frame before its end the gap is no gap of a train that ran just now: the clock has wrapped.
        let soon = between(at, ends) <= self.setup.frame_length.as_ticks();
        if self.has_sent && soon { ends } else { at }
    }

    /// Sends this frame from the next one on, until another frame is given. Returns the channels that were beyond
    /// `shortest` or `longest`; they are sent at that limit instead. Channels that the train does not have are ignored.
    ///
    /// A frame still counts as the next one while its first separator is sent: its widths are taken with the edge of
    /// its second separator. All channels of a frame come from one call.
    pub fn send(&mut self, widths: &[Pulse; N]) -> AxisSet {
        let mut limited = AxisSet::EMPTY;
        let (shortest, longest) = (self.setup.shortest.to_micros(), self.setup.longest.to_micros());
        for (channel, (waiting, width)) in (0..self.channels()).zip(self.waiting.iter_mut().zip(widths)) {
            let wanted = width.to_micros();
            *waiting = wanted.min(longest).max(shortest);
            limited = limited.with_if(channel, *waiting != wanted);
        }
        limited
    }

    /// Ends the train with the frame that is being sent; the line rests until the next [`start`](Self::start), and the
    /// receiver's own failsafe acts (I2).
    pub const fn stop(&mut self) {
        self.on = false;
    }

    /// The next edge, each one once; `None` while no train runs.
    #[must_use = "the edge is sent by nobody else: set the pin to its level at its instant"]
    pub fn next_edge(&mut self) -> Option<Edge> {
        let (separators, rest) = (self.setup.separators, self.setup.separators.other());
        match self.position {
            Position::Frame if !self.on => None,
            Position::Frame => {
                self.frame = after(self.frame, self.setup.frame_length.as_ticks());
                self.separator = self.frame;
                self.has_sent = true;
                self.position = Position::SeparatorEnds(0);
                Some(Edge { at: self.separator, level: separators })
            }
            Position::SeparatorEnds(channel) => {
                self.position =
                    if channel < self.channels() { Position::ChannelEnds(channel) } else { Position::Frame };
                Some(Edge { at: after(self.separator, self.setup.separator.as_ticks()), level: rest })
            }
            Position::ChannelEnds(channel) => {
                if channel == 0 {
                    self.sending = self.waiting;
                }
                let width = self.sending.get(usize::from(channel)).copied().unwrap_or_default();
                self.separator = after(self.separator, u32::from(width));
                self.position = Position::SeparatorEnds(channel.saturating_add(1));
                Some(Edge { at: self.separator, level: separators })
            }
        }
    }
}
