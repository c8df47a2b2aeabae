//! Round trip: decode(encode(x)) = x.

use handback::ppm::{Decoder, DecoderSetup, Edge, Encoder, EncoderSetup, Level};
use handback::{AxisSet, Pulse};
use handback_host_tests::with;

use super::wire::{BOTH, Widths, duration, heard, heard_at_edges, instant, pulses};

/// An encoder with room for sixteen channels at their longest.
fn sender<const N: usize>(separators: Level) -> Encoder<N> {
    let frame = duration(if N <= 8 { 22_500 } else { 40_000 });
    with!(EncoderSetup::new(separators), frame_length: frame).check().expect("it fits")
}

fn receiver<const N: usize>(separators: Level) -> Decoder<N> {
    DecoderSetup::new(separators).check().expect("defaults are good")
}

/// The edges of these frames, each given in time, and the stop after the last.
fn encoded<const N: usize>(encoder: &mut Encoder<N>, start: u32, frames: &[Widths<N>]) -> Vec<Edge> {
    let mut edges = Vec::new();
    for frame in frames {
        assert_eq!(encoder.start(instant(start), &pulses(*frame)), AxisSet::EMPTY, "all within the limits");
        edges.extend((0..2 * N + 2).map(|_| encoder.next_edge().expect("a train that runs")));
    }
    encoder.stop();
    assert_eq!(encoder.next_edge(), None);
    edges
}

/// The frames after two that a decoder does not yield: the first ends in a gap, the second confirms.
fn led_in<const N: usize>(frames: impl IntoIterator<Item = Widths<N>>) -> Vec<Widths<N>> {
    [[1_500; N]; 2].into_iter().chain(frames).collect()
}

/// Every width of the range on every channel; adjacent channels differ.
fn every_width<const N: usize>() -> Vec<Widths<N>> {
    led_in((750..=2_250u16).map(|width| {
        std::array::from_fn(|channel| 750 + (width - 750 + 401 * u16::try_from(channel).expect("few")) % 1_501)
    }))
}

/// Checks that an encoder with room for sixteen channels sends the first `N` as an encoder for `N` does, and that it
/// ignores the others, which are beyond the limits.
fn same_with_room<const N: usize>(separators: Level, frames: &[Widths<N>]) {
    let setup = *sender::<N>(separators).setup();
    let setup = with!(setup, channels: Some(u8::try_from(N).expect("few")));
    let mut roomy = setup.check::<16>().expect("the frame needs no more than its channels");
    let padded: Vec<Widths<16>> =
        frames.iter().map(|frame| std::array::from_fn(|channel| frame.get(channel).copied().unwrap_or(0))).collect();
    let mut exact = sender::<N>(separators);
    for (frame, padded) in frames.iter().zip(&padded) {
        assert_eq!(exact.start(instant(9), &pulses(*frame)), AxisSet::EMPTY);
        assert_eq!(roomy.start(instant(9), &pulses(*padded)), AxisSet::EMPTY);
        for _ in 0..2 * N + 2 {
            assert_eq!(roomy.next_edge(), exact.next_edge());
        }
    }
}

fn round_trip<const N: usize>() {
    let frames = every_width::<N>();
    for separators in BOTH {
        same_with_room(separators, &frames);
        for start in [0, 1_000_000_000, u32::MAX - 5_000_000] {
            let edges = encoded(&mut sender::<N>(separators), start, &frames);
            let mut decoder = receiver::<N>(separators);
            assert_eq!(heard(&mut decoder, &edges), frames[2..], "{N} channels, {separators:?}, from {start}");
            assert_eq!(usize::try_from(decoder.tally().good), Ok(frames.len() - 2));
            assert_eq!(decoder.tally().channels, u8::try_from(N).expect("few"));
            // Polled at the edges only: no edge follows the gap of the last frame.
            let mut unpolled = receiver::<N>(separators);
            assert_eq!(heard_at_edges(&mut unpolled, &edges), frames[2..frames.len() - 1]);
            assert_eq!(unpolled.tally().faults(), 0);
        }
    }
}

/// Given every width of the range, when it is sent on every channel of trains of 4 to 16 channels, in both polarities
/// and across the wrap of the clock, then the same width comes out, and no fault is counted. An encoder with room for
/// sixteen channels sends the same edges.
#[test]
fn every_width_of_every_train_comes_out_as_it_went_in() {
    round_trip::<4>();
    round_trip::<5>();
    round_trip::<6>();
    round_trip::<7>();
    round_trip::<8>();
    round_trip::<9>();
    round_trip::<10>();
    round_trip::<11>();
    round_trip::<12>();
    round_trip::<13>();
    round_trip::<14>();
    round_trip::<15>();
    round_trip::<16>();
}

/// Given a train, when the clock wraps at any microsecond of it, then the frames come out as they were sent.
#[test]
fn the_clock_may_wrap_anywhere() {
    let frames = led_in([[1_000, 2_000, 1_500, 750, 2_250, 1_234, 1_999, 1_001], [2_000; 8], [1_111; 8]]);
    let mut edges = encoded(&mut sender::<8>(Level::High), 0, &frames);
    let train = u32::try_from(frames.len()).expect("few") * 22_500;
    for wraps_after in 0..=train {
        for edge in &mut edges {
            edge.at = instant(edge.at.as_ticks().wrapping_sub(u32::from(wraps_after > 0)));
        }
        assert_eq!(edges[0].at.as_ticks(), wraps_after.wrapping_neg());
        let mut decoder = receiver::<8>(Level::High);
        assert_eq!(heard_at_edges(&mut decoder, &edges), frames[2..4], "wraps {wraps_after} us after the start");
        assert_eq!(decoder.tally().faults(), 0);
    }
}

/// Given all channels at one limit at once, when they are sent, then the frame keeps its length and comes out: the
/// longest sum fits.
#[test]
fn the_longest_and_the_shortest_frame_come_out() {
    let frames = led_in([[750; 8], [2_250; 8], [750; 8]]);
    let edges = encoded(&mut sender::<8>(Level::Low), 77, &frames);
    assert_eq!(heard(&mut receiver::<8>(Level::Low), &edges), frames[2..]);
    for (first, next) in edges.iter().zip(&edges[18..]).step_by(18) {
        assert_eq!(next.at.as_ticks() - first.at.as_ticks(), 22_500);
    }
}

/// Given pulses finer than a microsecond, when they are sent, then each comes out as the nearest microsecond.
#[test]
fn a_finer_pulse_comes_out_as_the_nearest_microsecond() {
    let fine = [24_007, 24_008, 24_009, 16_001].map(Pulse::from_bits);
    let (mut encoder, mut decoder) = (sender::<4>(Level::High), receiver::<4>(Level::High));
    assert_eq!(encoder.start(instant(0), &fine), AxisSet::EMPTY);
    let edges: Vec<Edge> = (0..31).filter_map(|_| encoder.next_edge()).collect();
    assert_eq!(heard(&mut decoder, &edges), [[1_500, 1_501, 1_501, 1_000]]);
}
