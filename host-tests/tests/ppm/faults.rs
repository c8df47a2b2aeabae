//! One fault at every position of a train: no wrong frame comes out, and no more frames are lost than necessary.

use handback::ppm::{Edge, Fault, Level};

use super::wire::{BOTH, Widths, Wire, decoder, from_to, heard, instant, later, missing};

const FRAMES: usize = 7;

/// Frames that all differ, in which all channels and all sums of two channels differ, too.
fn sent<const N: usize>() -> Vec<Widths<N>> {
    let width = |frame: usize, channel: usize| u16::try_from(1_000 + 17 * frame + 61 * channel).expect("few");
    (0..FRAMES).map(|frame| std::array::from_fn(|channel| width(frame, channel))).collect()
}

/// The train of these frames. The first frame ends in a gap and the second confirms.
fn train<const N: usize>(separators: Level, start: u32) -> Vec<Edge> {
    sent::<N>().iter().fold(Wire::new(separators, start), |wire, frame| wire.frame(frame)).edges
}

/// The number of frames that do not come out although an undisturbed decoder yields them.
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
            // The loss of the last edge of a frame shows only at the first edge of the next frame.
            let expected = if at == middle::<N>().end - 1 { 2 } else { 1 };
            let context = format!("{N} channels, {separators:?}, without edge {at}");
            assert_eq!(lost::<N>(separators, &edges, &context), expected, "{context}");
        }
    }
}

/// Given a train, when any one edge of a frame is lost, then that frame does not come out, and the next one does
/// unless the edge was the last of its frame.
#[test]
fn a_lost_edge_costs_its_frame() {
    each_edge_lost_alone::<4>();
    each_edge_lost_alone::<8>();
    each_edge_lost_alone::<16>();
}

/// Given a train, when any one edge of its first two frames or of the last is lost, then no wrong frame comes out.
#[test]
fn a_lost_edge_at_the_start_or_the_end_yields_no_wrong_frame() {
    let train = train::<8>(Level::High, 0);
    let ends = (0..2 * 18).chain(6 * 18..7 * 18);
    let lost_most = ends.map(|at| {
        let mut edges = train.clone();
        edges.remove(at);
        lost::<8>(Level::High, &edges, &format!("without edge {at}"))
    });
    // The last edge of the second frame costs most: this frame does not confirm, and the third is lost with it.
    assert_eq!(lost_most.max(), Some(2));
}

/// Given a train, when an edge to either level is added at any microsecond of a frame, then no wrong frame comes out.
/// Within the frame the edge costs that frame, in the gap at most two.
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
        // An edge to rest costs the frame before while that has not rested for 2.5 ms, else the next frame, and both
        // in the millisecond until the poll. The other edge costs the next frame, because it is taken for the first
        // edge of that frame, and also the frame before while that has not rested.
        let [none, one, two] = in_the_gap;
        assert_eq!((none, one + two), (0, 2 * 5_000), "{in_the_gap:?}");
        assert!((2_499..3_500).contains(&two), "{in_the_gap:?}");
    }
}

/// Given a train, when any one edge is moved by up to 40 us, then within the jitter its frame comes out with at most
/// two channels off, by no more than the edge moved; beyond the jitter the frame does not come out.
#[test]
fn a_moved_edge_costs_its_frame_or_stays_within_the_jitter() {
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

/// Given a train, when its polarity turns at any edge, then the frames before that edge come out and none after.
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
            // All gaps after this edge, except the one at the end of the train, in which no edge comes.
            let gaps = u32::try_from(FRAMES - whole - 1).expect("few");
            assert_eq!(decoder.tally().of(Fault::Polarity), gaps, "{context}: {:?}", decoder.tally());
        }
    }
}

/// Given a train, when a decoder is plugged in at any edge of it, then only whole frames come out. The first frame
/// that begins after a gap confirms; the next one is the first to come out.
#[test]
fn plugged_in_anywhere_only_whole_frames_come_out() {
    for separators in BOTH {
        let train = train::<8>(separators, u32::MAX - 60_000);
        for at in 1..train.len() - 3 * 18 {
            let context = format!("from edge {at}, {separators:?}");
            // The decoder must see the gap before a frame from its beginning: from the last edge of the frame before.
            let confirms = at / 18 + 1;
            let expected = &sent::<8>()[confirms + 1..];
            assert_eq!(heard(&mut decoder::<8>(separators), &train[at..]), expected, "{context}");
        }
    }
}
