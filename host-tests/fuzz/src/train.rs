//! Pulse trains: arbitrary edges, trains of the encoder, and such trains with faults.

use handback::ppm::{Decoder, DecoderSetup, Edge, EncoderSetup, Level};
use handback::{Duration, Instant, Pulse};

use crate::bytes::Bytes;

/// The channels for which the decoders have room.
const ROOM: usize = 16;

/// No input needs more edges.
const MOST_EDGES: usize = 4_000;

type Widths = [Pulse; ROOM];

/// What must hold: no edge, poll or overrun makes the decoder panic; a frame is within the set-up's widths; a train that
/// is not disturbed comes out as it was sent; a disturbed one never yields a frame that was not sent, or, with an edge
/// that moved, one that is off by more than `jitter`.
pub fn run(bytes: &[u8]) {
    let mut bytes = Bytes::new(bytes);
    match bytes.below(3) {
        0 => any_edges(&mut bytes),
        1 => sent_is_heard(&mut bytes),
        _ => with_faults(&mut bytes),
    }
}

fn level(bytes: &mut Bytes<'_>) -> Level {
    Level::from(bytes.flag())
}

/// A set-up with some fields changed; it need not pass its check.
fn any_setup(bytes: &mut Bytes<'_>) -> DecoderSetup {
    let mut setup = DecoderSetup::new(level(bytes));
    let changed = bytes.byte();
    let is_changed = |field: u8| changed & 1 << field != 0;
    if is_changed(0) {
        setup.channels = Some(bytes.below(20));
    }
    if is_changed(1) {
        setup.narrowest = Duration::from_ticks(bytes.two().into());
    }
    if is_changed(2) {
        setup.widest = Duration::from_ticks(bytes.two().into());
    }
    if is_changed(3) {
        setup.jitter = Duration::from_ticks(bytes.four());
    }
    if is_changed(4) {
        setup.shortest = Pulse::from_bits(bytes.two());
    }
    if is_changed(5) {
        setup.longest = Pulse::from_bits(bytes.two());
    }
    if is_changed(6) {
        setup.gap = Duration::from_ticks(bytes.four());
    }
    if is_changed(7) {
        setup.silence = Duration::from_ticks(bytes.four());
    }
    setup
}

/// Any set-up, and any edges, polls and overruns, at any times.
fn any_edges(bytes: &mut Bytes<'_>) {
    let setup = any_setup(bytes);
    let Ok(mut decoder) = setup.check::<ROOM>() else { return };
    let mut now = bytes.four();
    let mut level = setup.separators;
    let (mut good, mut calls) = (0_u64, 0);
    while !bytes.is_empty() && calls < MOST_EDGES {
        calls += 1;
        let what = bytes.byte();
        let after = match what >> 5 {
            0 | 1 => u32::from(bytes.byte()) * 8,
            2 => 1_500,
            3 => 300,
            4 => u32::from(bytes.two()),
            5 => setup.gap.as_ticks(),
            6 => setup.silence.as_ticks(),
            _ => bytes.four(),
        };
        now = now.wrapping_add(after);
        let at = Instant::from_ticks(now);
        match what & 7 {
            0 => decoder.overrun(),
            1 => {
                if let Some(frame) = decoder.poll(at) {
                    good += 1;
                    within(&decoder, &frame);
                }
            }
            2 => decoder.edge(Edge { at, level }),
            _ => {
                level = if what & 7 == 3 { setup.separators } else { level.other() };
                decoder.edge(Edge { at, level });
            }
        }
    }
    assert!(good <= u64::from(decoder.tally().good), "more frames came out than were counted");
}

/// The widths of a frame are those that its set-up allows, and channels beyond the train are dead.
fn within(decoder: &Decoder<ROOM>, frame: &Widths) {
    let setup = decoder.setup();
    let (train, beyond) = frame.split_at(decoder.channels().into());
    let limits = setup.shortest.to_micros()..=setup.longest.to_micros();
    assert!(train.iter().all(|width| limits.contains(&width.to_micros())), "{frame:?} of {setup:?}");
    assert!(beyond.iter().all(|&width| width == Pulse::MIN), "{frame:?} of {setup:?}");
}

/// A frame of a train: widths in whole microseconds, within what an encoder sends.
fn frame(bytes: &mut Bytes<'_>) -> Widths {
    std::array::from_fn(|_| Pulse::from_micros(750 + u32::from(bytes.two()) % 1_501))
}

/// Edges of `frames`, each of this many channels; the gap between them is of this length.
fn drawn(separators: Level, start: u32, channels: usize, frames: &[Widths], gap: u32) -> Vec<Edge> {
    let mut edges = Vec::new();
    let mut now = start;
    for frame in frames {
        for width in frame[..channels].iter().map(|width| u32::from(width.to_micros())).chain([300 + gap]) {
            edges.push(Edge { at: Instant::from_ticks(now), level: separators });
            edges.push(Edge { at: Instant::from_ticks(now.wrapping_add(300)), level: separators.other() });
            now = now.wrapping_add(width);
        }
    }
    edges
}

/// Hears edges, polled every so many microseconds until 60 ms after the last one.
fn heard(decoder: &mut Decoder<ROOM>, edges: &[Edge], poll_every: u32) -> Vec<Widths> {
    let (Some(first), Some(last)) = (edges.first(), edges.last()) else { return Vec::new() };
    let mut frames = Vec::new();
    let mut left = edges.iter().peekable();
    let mut now = first.at.as_ticks();
    let is_due = |at: Instant, now: u32| now.wrapping_sub(at.as_ticks()).cast_signed() >= 0;
    let end = last.at.as_ticks().wrapping_add(60_000);
    while end.wrapping_sub(now).cast_signed() > 0 {
        while let Some(&&edge) = left.peek()
            && is_due(edge.at, now)
        {
            decoder.edge(edge);
            left.next();
        }
        frames.extend(decoder.poll(Instant::from_ticks(now)));
        now = now.wrapping_add(poll_every);
    }
    frames
}

/// The encoder's train comes out of a decoder of the same number of channels, frame by frame, within the limits.
fn sent_is_heard(bytes: &mut Bytes<'_>) {
    let separators = level(bytes);
    let mut setup = EncoderSetup::new(separators);
    let channels = 4 + bytes.below(13);
    setup.channels = Some(channels);
    setup.frame_length = Duration::from_ticks(40_000 + u32::from(bytes.byte()) * 8);
    let mut listening = DecoderSetup::new(separators);
    listening.channels = Some(channels);
    let (mut encoder, mut decoder) =
        (setup.check::<ROOM>().expect("in order"), listening.check::<ROOM>().expect("in order"));
    let start = bytes.four();
    let poll_every = 200 + u32::from(bytes.byte()) * 8;
    let mut sent: Vec<Widths> = Vec::new();
    let mut edges = Vec::new();
    while sent.len() < 12 && (sent.len() < 3 || !bytes.is_empty()) {
        let mut asked: Widths = std::array::from_fn(|_| Pulse::from_bits(bytes.two()));
        let limited = encoder.start(Instant::from_ticks(start), &asked);
        for (channel, width) in (0_u8..).zip(&mut asked) {
            let is_of_train = channel < channels;
            let sends = u32::from(width.to_micros()).clamp(750, 2_250);
            assert_eq!(limited.contains(channel), is_of_train && sends != u32::from(width.to_micros()), "{channel}");
            *width = if is_of_train { Pulse::from_micros(sends) } else { Pulse::MIN };
        }
        sent.push(asked);
        for _ in 0..2 * (channels + 1) {
            edges.push(encoder.next_edge().expect("a train that runs"));
        }
    }
    encoder.stop();
    assert_eq!(encoder.next_edge(), None);
    assert!(edges.iter().all(|edge| edge.at.as_ticks().wrapping_sub(start) < 600_000));
    // The first frame ends in a gap, and the second confirms the number of channels.
    assert_eq!(heard(&mut decoder, &edges, poll_every), sent[2..], "{channels} channels, polled each {poll_every} us");
}

/// A drawn train with faults: any number of edges lost; or one or two added; or one that moved, also as one lost and one
/// added.
fn with_faults(bytes: &mut Bytes<'_>) {
    let separators = level(bytes);
    let channels = 4 + bytes.below(13);
    let count = 4 + usize::from(bytes.below(5));
    let mut frames: Vec<Widths> = (0..count).map(|_| frame(bytes)).collect();
    for frame in &mut frames {
        frame[usize::from(channels)..].fill(Pulse::MIN);
    }
    let gap = 3_000 + u32::from(bytes.two()) % 15_000;
    let mut edges = drawn(separators, bytes.four(), channels.into(), &frames, gap);
    let poll_every = 200 + u32::from(bytes.byte()) * 8;
    let kind = bytes.below(4);
    let tolerance = match kind {
        0 => {
            let mut lost = 0;
            while !bytes.is_empty() && lost < 40 && edges.len() > 2 {
                edges.remove(usize::from(bytes.two()) % edges.len());
                lost += 1;
            }
            0
        }
        1 => {
            for _ in 0..=bytes.below(2) {
                add(&mut edges, bytes);
            }
            0
        }
        2 => {
            let at = usize::from(bytes.two()) % edges.len();
            edges.remove(at);
            add(&mut edges, bytes);
            20
        }
        _ => {
            let at = usize::from(bytes.two()) % edges.len();
            let by = i32::from(bytes.two().cast_signed()) / 16;
            edges[at].at = Instant::from_ticks(edges[at].at.as_ticks().wrapping_add_signed(by));
            if !is_in_order(&edges) {
                return;
            }
            20
        }
    };
    let mut setup = DecoderSetup::new(separators);
    setup.channels = Some(channels);
    let mut decoder = setup.check::<ROOM>().expect("in order");
    let mut left = frames.iter();
    for frame in heard(&mut decoder, &edges, poll_every) {
        within(&decoder, &frame);
        let near =
            |sent: &&Widths| sent.iter().zip(&frame).all(|(a, b)| a.to_micros().abs_diff(b.to_micros()) <= tolerance);
        assert!(left.any(|sent| near(&sent)), "{frame:?} was not sent, or not then; fault {kind}, sent {frames:?}");
    }
}

/// Adds an edge to any level somewhere within the train.
fn add(edges: &mut Vec<Edge>, bytes: &mut Bytes<'_>) {
    let before = usize::from(bytes.two()) % (edges.len() - 1);
    let (one, next) = (edges[before].at.as_ticks(), edges[before + 1].at.as_ticks());
    let span = next.wrapping_sub(one).max(1);
    let at = Instant::from_ticks(one.wrapping_add(u32::from(bytes.two()) % span));
    edges.insert(before + 1, Edge { at, level: level(bytes) });
}

fn is_in_order(edges: &[Edge]) -> bool {
    edges.windows(2).all(|pair| pair[1].at.as_ticks().wrapping_sub(pair[0].at.as_ticks()) < 1 << 31)
}
