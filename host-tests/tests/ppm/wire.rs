//! A wire: the edges that were put on it, and the frames that a decoder finds.

use handback::ppm::{Decoder, DecoderSetup, Edge, Level};
use handback::{Duration, Instant, Pulse};

/// The widths of a frame in whole microseconds.
pub(crate) type Widths<const N: usize> = [u16; N];

pub(crate) const BOTH: [Level; 2] = [Level::Low, Level::High];

pub(crate) fn pulses<const N: usize>(widths: Widths<N>) -> [Pulse; N] {
    widths.map(|width| Pulse::from_micros(width.into()))
}

pub(crate) fn widths<const N: usize>(pulses: [Pulse; N]) -> Widths<N> {
    pulses.map(Pulse::to_micros)
}

pub(crate) fn instant(us: u32) -> Instant {
    Instant::from_ticks(us)
}

pub(crate) fn duration(us: u32) -> Duration {
    Duration::from_ticks(us)
}

pub(crate) fn later(edge: Edge, us: u32) -> Edge {
    Edge { at: instant(edge.at.as_ticks().wrapping_add(us)), ..edge }
}

/// The microseconds from one instant to another; negative where `to` is the earlier one.
pub(crate) fn from_to(from: Instant, to: Instant) -> i32 {
    to.as_ticks().wrapping_sub(from.as_ticks()).cast_signed()
}

/// A decoder for trains of these separators, with defaults.
pub(crate) fn decoder<const N: usize>(separators: Level) -> Decoder<N> {
    DecoderSetup::new(separators).check().expect("defaults are good")
}

/// A train drawn by hand, without the encoder.
#[derive(Clone)]
pub(crate) struct Wire {
    separators: Level,
    /// The time at the end of the train, in microseconds.
    pub(crate) now: u32,
    pub(crate) edges: Vec<Edge>,
}

impl Wire {
    pub(crate) fn new(separators: Level, start: u32) -> Self {
        Self { separators, now: start, edges: Vec::new() }
    }

    fn edge(&mut self, level: Level) {
        self.edges.push(Edge { at: instant(self.now), level });
    }

    pub(crate) fn rest(mut self, us: u32) -> Self {
        self.now = self.now.wrapping_add(us);
        self
    }

    /// Adds a pulse; `now` is its end.
    pub(crate) fn pulse(mut self, width: u32) -> Self {
        self.edge(self.separators);
        self = self.rest(width);
        self.edge(self.separators.other());
        self
    }

    /// A separator of 300 us and the rest of the channel.
    pub(crate) fn channel(self, width: u32) -> Self {
        self.pulse(300).rest(width - 300)
    }

    pub(crate) fn channels(self, widths: &[u16]) -> Self {
        widths.iter().fold(self, |wire, &width| wire.channel(width.into()))
    }

    /// A frame and a gap of 5 ms.
    pub(crate) fn frame(self, widths: &[u16]) -> Self {
        self.channels(widths).pulse(300).rest(5_000)
    }

    /// Two frames of this many centred channels: the first ends in a gap, the second confirms.
    pub(crate) fn confirmed(self, channels: usize) -> Self {
        let centred = vec![1_500; channels];
        self.frame(&centred).frame(&centred)
    }
}

/// Gives edges to a decoder and polls it each millisecond, edges first, until 30 ms after the last one: the frames.
pub(crate) fn heard<const N: usize>(decoder: &mut Decoder<N>, edges: &[Edge]) -> Vec<Widths<N>> {
    heard_at(decoder, edges).into_iter().map(|(_, widths)| widths).collect()
}

/// The same frames, with the instants of the polls that yielded them.
pub(crate) fn heard_at<const N: usize>(decoder: &mut Decoder<N>, edges: &[Edge]) -> Vec<(Instant, Widths<N>)> {
    let (Some(first), Some(last)) = (edges.first(), edges.last()) else { return Vec::new() };
    let mut frames = Vec::new();
    let mut next = 0;
    let mut now = first.at;
    while from_to(last.at, now) < 30_000 {
        while let Some(&edge) = edges.get(next).filter(|edge| from_to(edge.at, now) >= 0) {
            decoder.edge(edge);
            next += 1;
        }
        frames.extend(decoder.poll(now).map(|frame| (now, widths(frame))));
        now = instant(now.as_ticks().wrapping_add(1_000));
    }
    frames
}

/// Gives edges to a decoder and polls it at each of them, so that a gap ends only at the first edge of the next frame.
pub(crate) fn heard_at_edges<const N: usize>(decoder: &mut Decoder<N>, edges: &[Edge]) -> Vec<Widths<N>> {
    let frame = |&edge: &Edge| {
        decoder.edge(edge);
        decoder.poll(edge.at).map(widths)
    };
    edges.iter().filter_map(frame).collect()
}

/// The number of sent frames that did not come out. Panics where a frame came out that was not sent, or out of order.
pub(crate) fn missing<const N: usize>(sent: &[Widths<N>], heard: &[Widths<N>], context: &str) -> usize {
    let mut left = sent.iter();
    for frame in heard {
        assert!(left.any(|sent| sent == frame), "{frame:?} was not sent, or not then: {context}");
    }
    sent.len() - heard.len()
}
