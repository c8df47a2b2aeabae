//! One fault at every position of a train: no wrong frame comes out, and no more frames are lost than must be.

use handback::ppm::{Edge, Fault, Level};

use super::wire::{BOTH, Widths, Wire, decoder, from_to, heard, instant, later, missing};

const FRAMES: usize = 7;

/// Frames of which no two are alike, nor any two channels, nor what two channels are together.
fn sent<const N: usize>() -> Vec<Widths<N>> {
    let width = |frame: usize, channel: usize| u16::try_from(1_000 + 17 * frame + 61 * channel).expect("few");
    (0..FRAMES).map(|frame| std::array::from_fn(|channel| width(frame, channel))).collect()
}

/// The two frames at the start end in a gap and confirm.
fn train<const N: usize>(separators: Level, start: u32) -> Vec<Edge> {
    sent::<N>().iter().fold(Wire::new(separators, start), |wire, frame| wire.frame(frame)).edges
}

/// How many of the frames that an undisturbed decoder yields do not come out.
fn lost<const N: usize>(separators: Level, edges: &[Edge], context: &str) -> usize {
    missing(&sent::<N>()[2..], &heard(&mut decoder::<N>(separators), edges), context)
}

/// The edges of the frame in the middle, by their index in the train.
fn middle<const N: usize>() -> std::ops::Range<usize> {
    let edges = 2 * N + 2;
    3 * edges..4 * edges
}

fn each_edge_lost_alone<const N: usize>() {
    for separators in BOTH {
        let train = train::<N>(separators, u32::MAX - 60_000);
        for at in middle::<N>() {
            let mut edges = train.clone();
            edges.remove(at);
            // Behind the last edge of a frame the next one's first edge is what shows that it is missing.
            let expected = if at == middle::<N>().end - 1 { 2 } else { 1 };
            let context = format!("{N} channels, {separators:?}, without edge {at}");
            assert_eq!(lost::<N>(separators, &edges, &context), expected, "{context}");
        }
    }
}

/// Given a train, when any one edge of a frame is lost, then that frame does not come out, and the next one does unless
/// the edge was the frame's last.
#[test]
fn a_lost_edge_costs_its_frame() {
    each_edge_lost_alone::<4>();
    each_edge_lost_alone::<8>();
    each_edge_lost_alone::<16>();
}

/// Given a train, when any one edge is lost out of its first two frames or the last, then no wrong frame comes out.
#[test]
fn a_lost_edge_at_the_start_or_the_end_yields_no_wrong_frame() {
    let train = train::<8>(Level::High, 0);
    let ends = (0..2 * 18).chain(6 * 18..7 * 18);
    let lost_most = ends.map(|at| {
        let mut edges = train.clone();
        edges.remove(at);
        lost::<8>(Level::High, &edges, &format!("without edge {at}"))
    });
    // The last edge of the second frame: that one does not confirm, and the third goes with it.
    assert_eq!(lost_most.max(), Some(2));
}

/// Given a train, when an edge to either level is added at any microsecond of a frame, then no wrong frame comes out;
/// within the frame it costs that frame, in the gap at most two.
#[test]
fn an_added_edge_costs_its_frame() {
    for separators in BOTH {
        let train = train::<8>(separators, u32::MAX - 90_000);
        let frame = middle::<8>();
        let (first, last, next) = (train[frame.start], train[frame.end - 1], train[frame.end]);
        let mut in_the_gap = [0; 3];
        for after in 1..from_to(first.at, next.at) {
            let at = instant(first.at.as_ticks().wrapping_add(after.cast_unsigned()));
            let index = train.iter().position(|edge| from_to(at, edge.at) >= 0).expect("not behind the train");
            for level in BOTH {
                let mut edges = train.clone();
                edges.insert(index, Edge { at, level });
                let context = format!("an edge to {level:?} {after} us into a frame, {separators:?}");
                let frames = lost::<8>(separators, &edges, &context);
                if from_to(at, last.at) > 0 {
                    assert_eq!(frames, 1, "{context}");
                } else {
                    in_the_gap[frames] += 1;
                }
            }
        }
        // An edge to rest costs the frame before where that did not rest for 2.5 ms yet, else the one behind, and both
        // in the millisecond until the poll. The other edge costs the one behind, whose first edge it was taken for,
        // and the frame before, too, where that did not rest yet.
        let [none, one, two] = in_the_gap;
        assert_eq!((none, one + two), (0, 2 * 5_000), "{in_the_gap:?}");
        assert!((2_499..3_500).contains(&two), "{in_the_gap:?}");
    }
}

/// Given a train, when any one edge is moved by up to 40 us, then its frame comes out with no channel off by more than
/// the way it moved, if that is within the jitter, and not at all beyond it.
#[test]
fn a_moved_edge_costs_its_frame_or_moves_two_channels_by_no_more_than_the_jitter() {
    let sent = sent::<8>();
    for separators in BOTH {
        let train = train::<8>(separators, u32::MAX - 60_000);
        for at in middle::<8>() {
            for moved in -40..=40_i32 {
                let mut edges = train.clone();
                edges[at] = later(edges[at], moved.cast_unsigned());
                let mut decoder = decoder::<8>(separators);
                let heard = heard(&mut decoder, &edges);
                let context = format!("edge {at} moved by {moved} us, {separators:?}");
                if moved.abs() > 20 {
                    assert_eq!(missing(&sent[2..], &heard, &context), 1, "{context}");
                    assert_eq!(decoder.tally().of(Fault::Uneven), 1, "{context}");
                    continue;
                }
                assert_eq!(heard.len(), sent.len() - 2, "{context}");
                for (sent, heard) in sent[2..].iter().zip(&heard) {
                    let off: Vec<i16> = sent
                        .iter()
                        .zip(heard)
                        .map(|(&sent, &heard)| heard.cast_signed() - sent.cast_signed())
                        .collect();
                    assert!(off.iter().all(|&off| i32::from(off).abs() <= moved.abs()), "{off:?}, {context}");
                    assert!(off.iter().filter(|&&off| off != 0).count() <= 2, "{off:?}, {context}");
                }
            }
        }
    }
}

/// Given a train, when its polarity turns at any edge, then the frames before come out and none after.
#[test]
fn a_train_that_turns_over_yields_nothing_from_then_on() {
    for separators in BOTH {
        let train = train::<8>(separators, 0);
        for at in 0..train.len() {
            let turned = train[at..].iter().map(|edge| Edge { level: edge.level.other(), ..*edge });
            let edges: Vec<Edge> = train[..at].iter().copied().chain(turned).collect();
            let mut decoder = decoder::<8>(separators);
            let heard = heard(&mut decoder, &edges);
            let context = format!("turned over at edge {at}, {separators:?}");
            let whole = at / 18;
            assert_eq!(heard, sent::<8>()[2..whole.max(2)], "{context}");
            // The gaps after it, but the one at the end of the train, in which no edge comes.
            let gaps = u32::try_from(FRAMES - whole - 1).expect("few");
            assert_eq!(decoder.tally().of(Fault::Polarity), gaps, "{context}: {:?}", decoder.tally());
        }
    }
}

/// Given a train, when a decoder is plugged in at any edge of it, then only whole frames come out: the first that
/// begins after a gap confirms, the next one is the first.
#[test]
fn plugged_in_anywhere_only_whole_frames_come_out() {
    for separators in BOTH {
        let train = train::<8>(separators, u32::MAX - 60_000);
        for at in 1..train.len() - 3 * 18 {
            let context = format!("from edge {at}, {separators:?}");
            // The gap before a frame must be seen from its beginning: from the last edge of the frame before.
            let confirms = at / 18 + 1;
            let expected = &sent::<8>()[confirms + 1..];
            assert_eq!(heard(&mut decoder::<8>(separators), &train[at..]), expected, "{context}");
        }
    }
}
