//! The edges that the encoder puts on the wire, and their times.

use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{AxisSet, Pulse};

use super::wire::{BOTH, Widths, Wire, from_to, instant, pulses};

const FRAME: Widths<8> = [1_000, 1_100, 1_200, 1_300, 1_400, 1_500, 1_600, 2_000];

fn encoder(separators: Level) -> Encoder<8> {
    EncoderSetup::new(separators).check().expect("defaults are good")
}

fn next(encoder: &mut Encoder<8>, edges: usize) -> Vec<Edge> {
    (0..edges).filter_map(|_| encoder.next_edge()).collect()
}

/// Given a frame, when it is sent, then the wire has separators of 300 us, each channel lasts from the start of one to
/// the start of the next, and frames last 22.5 ms, in either polarity.
///
/// Separators, gap, frame and widths are common practice, no source.
#[test]
fn the_wire_shows_separators_channels_and_frames_of_one_length() {
    for separators in BOTH {
        let mut encoder = encoder(separators);
        assert_eq!(encoder.start(instant(u32::MAX - 20_000), &pulses(FRAME)), AxisSet::EMPTY);
        let drawn = |wire: Wire| {
            let begin = wire.now;
            let wire = wire.channels(&FRAME).pulse(300);
            let rest = 22_500 - wire.now.wrapping_sub(begin);
            assert!(rest >= 3_000, "at least 3 ms, the gap");
            wire.rest(rest)
        };
        let wire = drawn(drawn(drawn(Wire::new(separators, u32::MAX - 20_000))));
        assert_eq!(next(&mut encoder, 3 * 18), wire.edges);
    }
}

/// Given an encoder before its start, or stopped, when the next edge is read, then there is none; a stopped encoder
/// first ends its frame.
#[test]
fn a_stopped_encoder_ends_its_frame_and_can_start_again() {
    let mut encoder = encoder(Level::High);
    assert_eq!(encoder.next_edge(), None);
    encoder.start(instant(0), &pulses(FRAME));
    for asked in 1..18 {
        let mut stopped = encoder.clone();
        let before = next(&mut stopped, asked);
        stopped.stop();
        let rest = next(&mut stopped, 100);
        assert_eq!(before.len() + rest.len(), 18, "stopped after {asked} edges");
        assert_eq!(rest.last().map(|edge| edge.level), Some(Level::Low), "the line rests");
        stopped.start(instant(100_000), &pulses(FRAME));
        assert_eq!(stopped.next_edge(), Some(Edge { at: instant(100_000), level: Level::High }));
    }
}

/// Given a train that was stopped, when it is started again at any instant within its last frame or gap, then the line
/// rests for the gap all the same; later, the train starts at once, also just before the clock has gone round.
#[test]
fn a_train_starts_again_only_after_the_gap() {
    let mut encoder = encoder(Level::High);
    encoder.start(instant(1_000), &pulses(FRAME));
    let _first = encoder.next_edge();
    encoder.stop();
    let last = *next(&mut encoder, 100).last().expect("the rest of the frame");
    let end = last.at.as_ticks();
    for (at, begins) in [
        (end - 10_000, end + 3_000),
        (end, end + 3_000),
        (end + 2_999, end + 3_000),
        (end + 3_000, end + 3_000),
        (end + 3_001, end + 3_001),
        (end.wrapping_sub(30_000), end.wrapping_sub(30_000)),
    ] {
        let mut again = encoder.clone();
        again.start(instant(at), &pulses(FRAME));
        assert_eq!(again.next_edge(), Some(Edge { at: instant(begins), level: Level::High }), "{at} after {end}");
    }
}

/// Given a running train, when it is started once more, also after a stop, then it continues at its own times.
#[test]
fn a_start_does_not_break_a_running_train() {
    let mut plain = encoder(Level::High);
    plain.start(instant(0), &pulses(FRAME));
    let expected = next(&mut plain, 90);
    for asked in 1..18 {
        for stop in [false, true] {
            let mut encoder = encoder(Level::High);
            encoder.start(instant(0), &pulses(FRAME));
            let mut edges = next(&mut encoder, asked);
            if stop {
                encoder.stop();
            }
            encoder.start(instant(7_777), &pulses(FRAME));
            edges.extend(next(&mut encoder, 90 - asked));
            assert_eq!(edges, expected, "started after {asked} edges, stopped before: {stop}");
        }
    }
}

/// Given a frame that is being sent, when another is given, then it replaces the first if the second separator has not
/// been read yet; else it is the next frame. The two are never mixed.
#[test]
fn a_frame_goes_out_whole() {
    let other = [2_000; 8];
    for asked in 0..=18 {
        let mut encoder = encoder(Level::High);
        encoder.start(instant(0), &pulses(FRAME));
        let mut edges = next(&mut encoder, asked);
        encoder.send(&pulses(other));
        edges.extend(next(&mut encoder, 36 - asked));
        let starts: Vec<Edge> = edges.into_iter().step_by(2).collect();
        let frame = |range: std::ops::Range<usize>| -> Vec<i32> {
            starts[range].windows(2).map(|two| from_to(two[0].at, two[1].at)).collect()
        };
        let first = if asked <= 2 { other } else { FRAME };
        assert_eq!(frame(0..9), first.map(i32::from), "sent after {asked} edges");
        assert_eq!(frame(9..18), other.map(i32::from), "sent after {asked} edges");
    }
}

/// Given widths beyond the limits, when they are sent, then they are sent at the limit, and the call returns their
/// channels.
#[test]
fn a_width_beyond_the_limits_is_limited_and_told() {
    let mut encoder = encoder(Level::High);
    let wild = [749, 750, 2_250, 2_251, 0, u16::MAX, 1_500, 1_500];
    assert_eq!(encoder.start(instant(0), &pulses(wild)), AxisSet::of(&[0, 3, 4, 5]));
    let starts: Vec<Edge> = next(&mut encoder, 18).into_iter().step_by(2).collect();
    let widths: Vec<i32> = starts.windows(2).map(|two| from_to(two[0].at, two[1].at)).collect();
    assert_eq!(widths, [750, 750, 2_250, 2_250, 750, 2_250, 1_500, 1_500]);
    assert_eq!(encoder.send(&[Pulse::MAX; 8]), AxisSet::first(8));
    assert_eq!(encoder.send(&pulses(FRAME)), AxisSet::EMPTY);
}

/// Given an encoder and a decoder, when their size is measured, then it is as documented.
#[test]
fn encoders_and_decoders_are_small() {
    use handback::ppm::Decoder;
    use std::mem::size_of;
    println!("decoder: {} and {} bytes", size_of::<Decoder<8>>(), size_of::<Decoder<16>>());
    println!("encoder: {} and {} bytes", size_of::<Encoder<8>>(), size_of::<Encoder<16>>());
    assert!(size_of::<Decoder<8>>() <= 176 && size_of::<Encoder<8>>() <= 76);
    assert_eq!(size_of::<Decoder<16>>() - size_of::<Decoder<8>>(), 32, "two frames");
    assert_eq!(size_of::<Encoder<16>>() - size_of::<Encoder<8>>(), 32, "two frames");
}
