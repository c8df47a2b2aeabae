//! Anything on the wire: the decoder against one that has the whole recording.

use handback::ppm::{DecoderSetup, Edge, Level};
use handback::{Duration, Pulse};
use handback_host_tests::with;
use proptest::prelude::*;

use super::offline;
use super::wire::{BOTH, Widths, decoder, from_to, heard_at, heard_at_edges, instant};

/// Times to the next edge at and beside every limit.
const LIMITS: [u32; 16] =
    [1, 199, 200, 300, 320, 321, 500, 501, 1_200, 2_000, 2_499, 2_500, 5_000, 10_000, 50_000, 50_001];

/// A time to the next edge: mostly as in a train, also at and beside every limit, and any value.
fn wait() -> impl Strategy<Value = u32> {
    prop_oneof![
        6 => 280..=320u32,
        6 => 400..2_000u32,
        3 => 2_400..6_000u32,
        2 => prop::sample::select(&LIMITS[..]),
        1 => 0..60_000u32,
        1 => any::<u32>(),
    ]
}

/// Times to the next edge, each with a level that is mostly the other one.
fn noise() -> impl Strategy<Value = Vec<(u32, bool)>> {
    prop::collection::vec((wait(), prop::bool::weighted(0.97)), 1..400)
}

/// Pieces of a train, mostly whole frames, with noise between them.
fn pieces() -> impl Strategy<Value = Vec<(u32, bool)>> {
    let frame = (prop::collection::vec(prop_oneof![700..2_300u32, 690..2_310u32], 4), 2_400..6_000u32, 0..40u32);
    let frame = frame.prop_map(|(widths, gap, uneven)| {
        let mut waits: Vec<(u32, bool)> = Vec::new();
        for (place, width) in widths.into_iter().enumerate() {
            let separator = if place == 2 { 300 + uneven } else { 300 };
            waits.extend([(separator, true), (width - separator, true)]);
        }
        waits.extend([(300, true), (gap, true)]);
        waits
    });
    let spoilt = (frame.clone(), any::<prop::sample::Index>(), wait()).prop_map(|(mut waits, at, wait)| {
        let at = at.index(waits.len());
        waits[at] = (wait, wait % 2 == 0);
        waits
    });
    let noise = prop::collection::vec((wait(), prop::bool::weighted(0.97)), 1..8);
    let piece = prop_oneof![12 => frame, 2 => spoilt, 1 => noise];
    prop::collection::vec(piece, 1..30).prop_map(|pieces| pieces.concat())
}

fn recording(start: u32, first: Level, waits: &[(u32, bool)]) -> Vec<Edge> {
    let mut edge = Edge { at: instant(start), level: first };
    let mut edges = vec![edge];
    for &(wait, alternates) in waits {
        edge.at = instant(edge.at.as_ticks().wrapping_add(wait));
        edge.level = if alternates { edge.level.other() } else { edge.level };
        edges.push(edge);
    }
    edges
}

/// Checks that the frames that come out are those in the recording, also with room for more channels, and returns their
/// number.
fn agrees(separators: Level, edges: &[Edge]) -> usize {
    let mut decoder = decoder::<4>(separators);
    let heard = heard_at_edges(&mut decoder, edges);
    assert_eq!(heard, offline::frames::<4>(&DecoderSetup::new(separators), edges), "{edges:?}");
    assert_eq!(usize::try_from(decoder.tally().good), Ok(heard.len()));
    let setup = with!(DecoderSetup::new(separators), channels: Some(4));
    let mut roomy = setup.check::<16>().expect("a good set-up");
    let padded = |[a, b, c, d]: Widths<4>| [a, b, c, d, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0];
    assert_eq!(heard_at_edges(&mut roomy, edges), heard.iter().copied().map(padded).collect::<Vec<_>>());
    assert_eq!((roomy.tally(), roomy.channels()), (decoder.tally(), 4));
    heard.len()
}

/// Whether this frame was at rest on the wire: its last ten edges are a frame of these widths.
fn rested(separators: Level, before: &[Edge], widths: Widths<4>) -> bool {
    let Some(frame) = before.len().checked_sub(10).and_then(|from| before.get(from..)) else { return false };
    let starts: Vec<Edge> = frame.iter().step_by(2).copied().collect();
    let levels = frame.iter().enumerate().all(|(at, edge)| (edge.level == separators) == at.is_multiple_of(2));
    levels && starts.windows(2).zip(widths).all(|(two, width)| from_to(two[0].at, two[1].at) == i32::from(width))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Given any edges, when they are decoded, then the frames that come out are those in the recording.
    /// Rules: N1
    #[test]
    fn noise_holds_no_frame_but_those_that_are_in_it(start: u32, high: bool, waits in noise()) {
        for separators in BOTH {
            agrees(separators, &recording(start, Level::from(high), &waits));
        }
    }

    /// Given pieces of trains between noise, when they are decoded, then the frames that come out are those in the
    /// recording.
    /// Rules: N1
    #[test]
    fn pieces_of_trains_yield_the_frames_that_are_whole(start: u32, high: bool, waits in pieces()) {
        for separators in BOTH {
            agrees(separators, &recording(start, Level::from(high), &waits));
        }
    }

    /// Given pieces of trains between noise, when the decoder is polled each millisecond, then each frame that comes
    /// out has just come to rest on the wire.
    #[test]
    fn polled_in_time_only_frames_at_rest_come_out(high: bool, waits in pieces()) {
        let waits: Vec<(u32, bool)> = waits.into_iter().map(|(wait, level)| (wait % 60_000, level)).collect();
        for separators in BOTH {
            let edges = recording(u32::MAX - 100_000, Level::from(high), &waits);
            for (at, widths) in heard_at(&mut decoder::<4>(separators), &edges) {
                let before = edges.partition_point(|edge| from_to(edge.at, at) >= 2_500);
                prop_assert!(rested(separators, &edges[..before], widths), "{:?} at {:?}: {:?}", widths, at, edges);
            }
        }
    }

    /// Given any limits that pass the check, when any edges come, then nothing panics and no width is outside these
    /// limits.
    /// Rules: N1
    #[test]
    fn any_setup_survives_anything(
        (narrowest, widest, jitter) in (1..700u32, 1..2_000u32, any::<u32>()),
        (shortest, longest, gap, silence) in (1..3_000u32, 1..5_000u32, any::<u32>(), any::<u32>()),
        edges in prop::collection::vec((any::<u32>(), any::<bool>(), any::<u32>()), 0..200),
    ) {
        let mut setup = DecoderSetup::new(Level::High);
        setup.narrowest = Duration::from_ticks(narrowest);
        setup.widest = Duration::from_ticks(narrowest.saturating_add(widest));
        setup.jitter = Duration::from_ticks(jitter);
        setup.shortest = Pulse::from_micros(narrowest.saturating_add(widest).saturating_add(shortest));
        setup.longest = Pulse::from_micros(longest);
        setup.gap = Duration::from_ticks(gap);
        setup.silence = Duration::from_ticks(silence);
        if let Ok(mut decoder) = setup.check::<4>() {
            for (at, high, now) in edges {
                decoder.edge(Edge { at: instant(at), level: Level::from(high) });
                if let Some(frame) = decoder.poll(instant(now)) {
                    prop_assert!(frame.iter().all(|width| *width >= setup.shortest && *width <= setup.longest));
                }
            }
        }
    }
}

/// Given a long seeded recording of trains and noise, when it is decoded, then the frames that come out are those in
/// the recording, more than 100,000.
/// Rules: N1
#[test]
fn a_long_recording_yields_what_it_holds() {
    let mut random = 0x2545_F491_u32;
    let mut below = |limit: u32| {
        random ^= random << 13;
        random ^= random >> 17;
        random ^= random << 5;
        random % limit
    };
    let mut edges = Vec::new();
    let mut edge = Edge { at: instant(u32::MAX - 1_000_000), level: Level::Low };
    let mut add = |wait: u32, level: Level| {
        edge = Edge { at: instant(edge.at.as_ticks().wrapping_add(wait)), level };
        edges.push(edge);
    };
    for _ in 0..200_000 {
        match below(20) {
            // A lone edge, a pulse, a silence; else a gap.
            0 => add(below(3_000), Level::from(below(2) == 0)),
            1 => {
                add(below(3_000), Level::High);
                add(below(600), Level::Low);
            }
            2 => add(45_000 + below(10_000), Level::High),
            _ => add(2_450 + below(3_000), Level::High),
        }
        let channels = if below(20) == 0 { below(20) } else { 4 };
        let separator = 290 + below(10);
        for _ in 0..channels {
            let this = separator + below(22);
            add(this, Level::Low);
            add(698 + below(1_600) - this, Level::High);
        }
        add(separator, Level::Low);
    }
    let heard = agrees(Level::High, &edges);
    println!("{} edges, {heard} frames", edges.len());
    assert!(heard > 100_000, "{heard} of 200,000: else little was shown");
}
